//! `relook check`, `import` and `export`.

use super::{House, case_file, demo_cases};

const BAD: &str = "format = 1\ntitle = \"T\"\nmonth = \"2025-13\"\nstage = \"recorded\"\nstge = 1\n";

#[test]
fn check_prints_each_problem_by_file_line_and_column_and_changes_nothing() {
    let house = House::new();
    house.write("cases/bad.toml", BAD);
    house.write("cases/good.toml", &case_file(None, "T"));
    house.write("cases/bad.json", "{\n  \"format\": 1,,\n}");
    house.write("cases/notes.txt", "not looked at");
    let before = house.all_files();
    let answer = house.run(&["check", "cases"]);
    assert_eq!(answer.code, 1, "{answer:?}");
    let lines: Vec<&str> = answer.out.lines().collect();
    assert_eq!(lines.len(), 3, "{answer:?}");
    assert!(lines[0].starts_with("cases/bad.json:2:15: A key stands in double quotes"), "{answer:?}");
    assert!(lines[1].starts_with("cases/bad.toml:3:9: month: A month is"), "{answer:?}");
    assert!(lines[2].starts_with("cases/bad.toml:5:1: stge: "), "{answer:?}");
    assert!(answer.err.contains("3 problems"), "{answer:?}");
    house.run(&["check", "cases/good.toml"]).fine().says("1 file read, nothing wrong.");
    assert_eq!(house.all_files(), before);
    house.run(&["import", "cases/good.toml"]).fine();
    let before = house.all_files();
    house.run(&["check", "cases/good.toml"]).fine();
    assert_eq!(house.run(&["check", "cases"]).code, 1);
    assert_eq!(house.all_files(), before);
}

#[test]
fn check_names_files_and_folders_that_cannot_be_read() {
    let house = House::new();
    std::fs::create_dir(house.path("empty")).expect("a folder");
    let answer = house.run(&["check", "absent.toml", "empty"]);
    assert_eq!(answer.code, 1, "{answer:?}");
    assert!(answer.out.contains("absent.toml: This file cannot be read"), "{answer:?}");
    assert!(answer.out.contains("empty: This folder holds no case file"), "{answer:?}");
    house.write("a.toml", &case_file(Some("2025-001"), "A"));
    house.write("b.toml", &case_file(Some("2025-001"), "B"));
    let answer = house.run(&["check", "a.toml", "b.toml"]);
    assert!(answer.out.contains("b.toml: a.toml has the code 2025-001 too."), "{answer:?}");
}

#[test]
fn check_prints_the_schema() {
    let house = House::new();
    let answer = house.run(&["check", "--schema"]).fine();
    let schema: serde_json::Value = serde_json::from_str(&answer.out).expect("JSON");
    assert_eq!(schema, relook::export::case_file::schema());
}

#[test]
fn the_demo_cases_go_in_and_come_out_and_go_in_again_byte_identical() {
    let first = House::new();
    let at_risk = format!("{}/procedures-at-risk.csv", demo_cases());
    let cases = std::fs::read_dir(demo_cases())
        .expect("the folder")
        .filter(|entry| {
            entry.as_ref().is_ok_and(|entry| entry.path().extension().is_some_and(|end| end == "toml"))
        })
        .count();
    first
        .run(&["import", &demo_cases(), "--at-risk", &at_risk])
        .fine()
        .says(&format!("Imported {cases} cases."))
        .says("Imported procedures at risk from December 2022 to November 2026.");
    for format in ["toml", "json"] {
        let second = House::new();
        let out = first.path(format).to_string_lossy().into_owned();
        first
            .run(&["export", "--to", &out, "--format", format])
            .fine()
            .says(&format!("Wrote {cases} cases to"));
        second.run(&["import", &out]).fine();
        second.run(&["export", "--to", "out", "--format", format]).fine();
        let mut compared = 0;
        for entry in std::fs::read_dir(&out).expect("the folder") {
            let path = entry.expect("a file").path();
            let again = second.path("out").join(path.file_name().expect("a name"));
            assert_eq!(
                std::fs::read(&path).expect("a file"),
                std::fs::read(again).expect("a file"),
                "{path:?}"
            );
            compared += 1;
        }
        assert_eq!(compared, cases);
    }
}

#[test]
fn one_bad_file_keeps_all_out() {
    let house = House::new();
    house.write("cases/a.toml", &case_file(Some("2025-001"), "A"));
    house.write("cases/b.toml", BAD);
    house.write("counts.csv", "month,all-pci\n2025-01,-1\n");
    let answer = house.run(&["import", "cases", "--at-risk", "counts.csv"]).refused("Nothing was imported");
    assert!(answer.err.contains("cases/b.toml:3:9: month:"), "{answer:?}");
    assert!(answer.err.contains("counts.csv:2:9: all-pci: “-1” is not a number"), "{answer:?}");
    assert_eq!(answer.out, "");
    house.run(&["export", "--to", "out"]).fine().says("Wrote 0 cases");
    house.write("cases/b.toml", &case_file(Some("2025-002"), "B"));
    house.run(&["import", "cases", "--at-risk", "counts.csv"]).refused("Nothing was imported");
    house.run(&["import", "cases", "--at-risk", "absent.csv"]).refused("absent.csv cannot be read");
    house.run(&["export", "--to", "out"]).fine().says("Wrote 0 cases");
    house.run(&["import", "cases"]).fine().says("Imported 2 cases.");
}

#[test]
fn a_code_that_is_there_is_refused_and_a_case_without_one_gets_the_next() {
    let house = House::new();
    house.write("a.toml", &case_file(None, "First of the folder, without a code"));
    house.write("b.toml", &case_file(Some("2025-001"), "With a code"));
    // The code that stands in a file is not given to the one before it.
    house
        .run(&["import", "a.toml", "b.toml"])
        .fine()
        .says("a.toml is case 2025-002.")
        .says("Imported 2 cases.");
    let refused = house.run(&["import", "b.toml"]).refused("There is a case 2025-001 already");
    assert!(refused.err.contains("b.toml: "), "{refused:?}");
    house.run(&["import", "a.toml"]).fine().says("a.toml is case 2025-003.");
}

#[test]
fn counts_can_be_imported_alone_and_again() {
    let house = House::new();
    house.write("counts.csv", "month,all-pci\n2025-01,100\n");
    house.run(&["import", "--at-risk", "counts.csv"]).fine().says("from January 2025 to January 2025");
    house.run(&["import", "--at-risk", "counts.csv"]).fine();
}

#[test]
fn export_prints_one_case_and_writes_over_nothing_unless_told() {
    let house = House::new();
    house.write("a.toml", &case_file(Some("2025-001"), "A"));
    house.write("b.toml", &case_file(Some("2025-002"), "B"));
    house.run(&["import", "a.toml", "b.toml"]).fine();
    let printed = house.run(&["export", "2025-001", "--to", "-"]).fine();
    assert_eq!(printed.out, case_file(Some("2025-001"), "A"));
    house.run(&["export", "--to", "-"]).refused("Only one case can be printed");
    house.run(&["export", "2025-009", "--to", "out"]).refused("There is no case 2025-009");
    house.run(&["export", "2025-001", "2025-009", "--to", "out"]).refused("There is no case 2025-009");
    assert!(!house.path("out").exists());
    house.write("out/2025-002.toml", "mine");
    house.run(&["export", "--to", "out"]).refused("out/2025-002.toml is there already");
    assert!(!house.path("out/2025-001.toml").exists());
    assert_eq!(std::fs::read_to_string(house.path("out/2025-002.toml")).expect("a file"), "mine");
    house.run(&["export", "--to", "out", "--force"]).fine();
    assert_eq!(
        std::fs::read_to_string(house.path("out/2025-002.toml")).expect("a file"),
        case_file(Some("2025-002"), "B")
    );
    house.run(&["export", "2025-002", "2025-002", "--to", "one"]).fine().says("Wrote 1 case to one.");
    house.write("in-the-way", "a file");
    house.run(&["export", "--to", "in-the-way"]).refused("cannot be made");
}

#[test]
fn a_hundred_files_and_more_are_taken_in_without_a_bar_where_no_terminal_is() {
    let house = House::new();
    for n in 1..=120 {
        house.write(&format!("cases/{n:03}.toml"), &case_file(Some(&format!("2025-{n:03}")), "T"));
    }
    let answer = house.run(&["import", "cases"]).fine().says("Imported 120 cases.");
    assert_eq!(answer.err, "");
}

#[test]
fn an_answer_that_nobody_reads_to_its_end_is_no_fault() {
    let house = House::new();
    let mut program = house.program();
    let mut child = program
        .args(["check", "--schema"])
        .stdout(std::process::Stdio::piped())
        .spawn()
        .expect("the program");
    drop(child.stdout.take());
    assert!(child.wait().expect("the program").success());
}
