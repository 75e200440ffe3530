//! The program: reads the command line, starts the log, and hands over to [`relook::cli`].

use std::io;
use std::process::ExitCode;

use clap::Parser;
use relook::cli::{Cli, LogFormat, Verdict, log_filter};
use tracing_subscriber::EnvFilter;

fn main() -> ExitCode {
    let cli = Cli::parse();
    start_log(cli.usual_log(), cli.log_format());
    let runtime = match tokio::runtime::Builder::new_multi_thread().enable_all().build() {
        Ok(runtime) => runtime,
        Err(error) => return refuse(&error.into()),
    };
    match runtime.block_on(cli.run(&mut io::stdout(), &mut io::stderr())) {
        Ok(Verdict::Fine) => ExitCode::SUCCESS,
        Ok(Verdict::Problems) => ExitCode::FAILURE,
        Err(error) => refuse(&error),
    }
}

/// What happens is logged to standard error; `RUST_LOG` says how much.
fn start_log(usual: &str, format: LogFormat) {
    let filter = EnvFilter::try_from_default_env().unwrap_or_else(|_| EnvFilter::new(usual));
    let log = tracing_subscriber::fmt().with_env_filter(log_filter(filter)).with_writer(io::stderr);
    match format {
        LogFormat::Text => log.init(),
        LogFormat::Json => log.json().init(),
    }
    // The message of a panic may hold a text that somebody typed; the place is enough to find it.
    std::panic::set_hook(Box::new(|panic| {
        let place = panic.location().map(ToString::to_string).unwrap_or_default();
        tracing::error!(place, "a panic");
    }));
}

fn refuse(error: &anyhow::Error) -> ExitCode {
    let pipe_closed =
        error.downcast_ref::<io::Error>().is_some_and(|error| error.kind() == io::ErrorKind::BrokenPipe);
    // Whoever reads the answer may stop before its end, as `head` does: that is no fault.
    if pipe_closed {
        return ExitCode::SUCCESS;
    }
    eprintln!("relook: {error:#}");
    ExitCode::FAILURE
}
