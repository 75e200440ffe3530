//! The command line, as the built program in a folder of its own.

mod account;
mod counts;
mod history;
mod server;
mod tls;
mod transfer;

use std::path::{Path, PathBuf};
use std::process::{Command, Output};

use tempfile::TempDir;

/// A folder with a data folder in it, and the program that runs there.
pub struct House {
    folder: TempDir,
}

/// What the program answered.
#[derive(Debug)]
pub struct Answer {
    pub code: i32,
    pub out: String,
    pub err: String,
}

impl From<Output> for Answer {
    fn from(output: Output) -> Self {
        Self {
            code: output.status.code().unwrap_or(-1),
            out: String::from_utf8(output.stdout).expect("text"),
            err: String::from_utf8(output.stderr).expect("text"),
        }
    }
}

impl Answer {
    #[track_caller]
    pub fn fine(self) -> Self {
        assert_eq!(self.code, 0, "{self:?}");
        self
    }

    /// Refused with exit code 1, with this in the sentence.
    #[track_caller]
    pub fn refused(self, says: &str) -> Self {
        assert_eq!(self.code, 1, "{self:?}");
        assert!(self.err.contains(says), "{says:?} is not in {self:?}");
        self
    }

    #[track_caller]
    pub fn says(self, says: &str) -> Self {
        assert!(self.out.contains(says), "{says:?} is not in {self:?}");
        self
    }
}

impl House {
    pub fn new() -> Self {
        Self { folder: tempfile::tempdir().expect("a folder") }
    }

    pub fn path(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    pub fn write(&self, name: &str, text: &str) -> String {
        let path = self.path(name);
        std::fs::create_dir_all(path.parent().expect("a folder")).expect("a folder");
        std::fs::write(&path, text).expect("a file");
        name.to_owned()
    }

    /// The program in this folder, with a data folder of its own and nothing of the environment that
    /// would steer it.
    pub fn program(&self) -> Command {
        let mut command = Command::new(env!("CARGO_BIN_EXE_relook"));
        command.current_dir(self.folder.path()).env("RELOOK_DATA", self.path("data"));
        for name in ["RELOOK_ADDRESS", "RELOOK_HOST", "RELOOK_HTTPS", "XDG_DATA_HOME", "RUST_LOG"] {
            command.env_remove(name);
        }
        command
    }

    pub fn run(&self, arguments: &[&str]) -> Answer {
        self.program().args(arguments).output().expect("the program").into()
    }

    /// Every file under the folder with its bytes; a database's side files aside, which hold nothing
    /// once it is closed.
    pub fn all_files(&self) -> Vec<(PathBuf, Vec<u8>)> {
        fn walk(folder: &Path, found: &mut Vec<(PathBuf, Vec<u8>)>) {
            for entry in std::fs::read_dir(folder).expect("a folder") {
                let path = entry.expect("a file").path();
                if path.is_dir() {
                    walk(&path, found);
                } else if !path.to_string_lossy().ends_with("-wal")
                    && !path.to_string_lossy().ends_with("-shm")
                {
                    found.push((path.clone(), std::fs::read(&path).expect("a file")));
                }
            }
        }
        let mut found = Vec::new();
        walk(self.folder.path(), &mut found);
        found.sort();
        found
    }
}

/// The demo's cases, a folder of good files.
pub fn demo_cases() -> String {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("demo-cases").to_string_lossy().into_owned()
}

/// A small case file.
pub fn case_file(code: Option<&str>, title: &str) -> String {
    let code = code.map_or_else(String::new, |code| format!("code = \"{code}\"\n"));
    format!("format = 1\n{code}title = \"{title}\"\nmonth = \"2025-03\"\nstage = \"recorded\"\n")
}

#[test]
fn every_command_has_help_with_examples_and_a_wrong_line_exits_with_2() {
    let house = House::new();
    house.run(&["--help"]).fine().says("Examples:").says("not for the care of an individual patient");
    for command in ["demo", "serve", "import", "export", "check", "backup", "restore", "user"] {
        house.run(&[command, "--help"]).fine().says("Examples:").says(&format!("relook {command}"));
    }
    for wrong in [
        &["reports"][..],
        &["check"],
        &["import"],
        &["export"],
        &["backup"],
        &["restore"],
        &["export", "2025-14", "--to", "x"],
        &["serve", "--address", "here"],
        &["user", "add", "Somebody"],
        &["user", "add", "Somebody", "--role", "chief"],
        &["user", "add", "x", "--role", "fellow"],
        &["check", "--schema", "file.toml"],
        &["export", "--to", "x", "--format", "xml"],
    ] {
        let answer = house.run(wrong);
        assert_eq!(answer.code, 2, "{wrong:?}: {answer:?}");
        assert!(answer.err.contains("error:"), "{wrong:?}: {answer:?}");
    }
    assert_eq!(house.run(&[]).code, 2);
    assert!(!house.path("data").exists());
}

#[test]
fn the_data_folder_is_made_for_its_owner_alone_where_it_is_asked_for() {
    let house = House::new();
    let add = ["user", "add", "Somebody", "--role", "fellow"];
    let mode = |folder: PathBuf| {
        assert!(folder.join("relook.sqlite").exists(), "{}", folder.display());
        let folder = std::fs::metadata(folder).expect("the folder");
        std::os::unix::fs::PermissionsExt::mode(&folder.permissions()) & 0o777
    };
    Answer::from(house.program().args(add).output().expect("the program")).fine();
    assert_eq!(mode(house.path("data")), 0o700);
    Answer::from(house.program().args(add).args(["--data", "flag"]).output().expect("the program")).fine();
    assert_eq!(mode(house.path("flag")), 0o700);
    let by_home = |xdg: Option<PathBuf>| {
        let mut program = house.program();
        program.args(add).env_remove("RELOOK_DATA").env("HOME", house.path("home"));
        if let Some(xdg) = xdg {
            program.env("XDG_DATA_HOME", xdg);
        }
        Answer::from(program.output().expect("the program"))
    };
    by_home(Some(house.path("xdg"))).fine();
    assert_eq!(mode(house.path("xdg/relook")), 0o700);
    // A relative XDG folder is ignored, as its specification has it.
    by_home(Some("relative".into())).fine();
    assert_eq!(mode(house.path("home/.local/share/relook")), 0o700);
    assert!(!house.path("relative").exists());
    let mut homeless = house.program();
    homeless.args(add).env_remove("RELOOK_DATA").env_remove("HOME");
    Answer::from(homeless.output().expect("the program")).refused("Say where with --data DIR");
}

#[test]
fn what_needs_a_database_says_when_there_is_none() {
    let house = House::new();
    for arguments in [
        &["export", "--to", "out"][..],
        &["backup", "out"],
        &["user", "list"],
        &["user", "reset", "Somebody"],
        &["user", "role", "Somebody", "fellow"],
    ] {
        house.run(arguments).refused("There is no database in");
    }
    assert!(!house.path("data").exists());
    assert!(!house.path("out").exists());
}

#[test]
fn a_file_that_is_no_database_is_refused_with_a_sentence() {
    let house = House::new();
    house.write(
        "data/relook.sqlite",
        "this is not a database, but long enough to look like a file of some kind",
    );
    house.run(&["user", "list"]).refused("relook: ");
    house.run(&["serve", "--address", "127.0.0.1:0"]).refused("relook: ");
}
