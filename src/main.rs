//! The program: reads the command line, starts the log, and hands over to [`relook::cli`].

use std::io;
use std::process::ExitCode;

use clap::Parser;
use relook::cli::{Cli, Verdict, log_filter};
use tracing_subscriber::EnvFilter;

fn main() -> ExitCode {
    let cli = Cli::parse();
    start_log(cli.usual_log());
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
fn start_log(usual: &str) {
    let filter = EnvFilter::try_from_default_env().unwrap_or_else(|_| EnvFilter::new(usual));
    tracing_subscriber::fmt().with_env_filter(log_filter(filter)).with_writer(io::stderr).init();
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
