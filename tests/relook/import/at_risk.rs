//! Tables of procedures at risk: what is read, and what is said of bad ones.

use relook::import::at_risk::read;

use super::{marked, shipped_vocabulary};

const GOOD: &str = "month,all-pci,cto-pci\n2025-01,112,7\n2025-02,98,\n2025-03,0,8\n";

fn cells(text: &str) -> Vec<(String, String, Option<u32>)> {
    read(text.as_bytes(), shipped_vocabulary())
        .unwrap_or_else(|problems| panic!("{text:?}: {problems:?}"))
        .into_iter()
        .map(|cell| (cell.month.to_string(), cell.stratum.to_string(), cell.procedures))
        .collect()
}

#[test]
fn an_empty_cell_is_not_counted_and_zero_is_zero() {
    let cell = |month: &str, stratum: &str, procedures| (month.to_owned(), stratum.to_owned(), procedures);
    assert_eq!(
        cells(GOOD),
        [
            cell("2025-01", "all-pci", Some(112)),
            cell("2025-01", "cto-pci", Some(7)),
            cell("2025-02", "all-pci", Some(98)),
            cell("2025-02", "cto-pci", None),
            cell("2025-03", "all-pci", Some(0)),
            cell("2025-03", "cto-pci", Some(8)),
        ]
    );
}

#[test]
fn the_same_table_as_other_programs_write_it_reads_the_same() {
    for (how, text) in [
        ("a byte order mark", format!("\u{feff}{GOOD}")),
        ("Windows line ends", GOOD.replace('\n', "\r\n")),
        ("no line end after the last row", GOOD.trim_end().to_owned()),
        ("quoted cells", GOOD.replace("2025-01,112,7", "\"2025-01\", \"112\" ,\"7\"")),
        ("a quoted header", GOOD.replace("month,all-pci", "\"Month\",\"ALL-PCI\"")),
        ("white space", GOOD.replace("2025-01,112,7", " 2025-01 , 112,7\t")),
        ("empty lines", GOOD.replace("2025-02", "\n\n2025-02")),
        ("rows of separators below", format!("{GOOD},,\n , ,\n\"\",,\n")),
    ] {
        assert_eq!(cells(&text), cells(GOOD), "{how}");
    }
}

#[test]
fn columns_stand_in_any_order() {
    let mut swapped = cells("cto-pci,month,all-pci\n7,2025-01,112\n,2025-02,98\n8,2025-03,0\n");
    swapped.sort();
    let mut good = cells(GOOD);
    good.sort();
    assert_eq!(swapped, good);
}

/// What stands in the good table, what in its place with `‸` where the problem is told, the
/// column, and a telling part of the message.
#[rustfmt::skip]
const SLIPS: &[(&str, &str, &str, &str)] = &[
    ("2025-01,112", "2025-01,‸-1", "all-pci", "“-1” is not a number of procedures"),
    ("2025-01,112", "2025-01,‸112.0", "all-pci", "whole number"),
    ("2025-01,112", "2025-01,‸1e2", "all-pci", "whole number"),
    ("2025-01,112", "2025-01,‸n/a", "all-pci", "leave the cell empty when they were not counted"),
    ("2025-01,112", "2025-01,‸100001", "all-pci", "from 0 to 100000"),
    ("2025-01,112", "2025-01,‸99999999999999999999", "all-pci", "from 0 to 100000"),
    ("2025-01,112", "2025-01,‸\"1,120\"", "all-pci", "without separators"),
    ("2025-01,112", "2025-01,‸+5", "all-pci", "whole number"),
    ("2025-01,112", "2025-01,‸１１２", "all-pci", "whole number"),
    ("2025-02,98,", "2025-02,98,‸x", "cto-pci", "“x” is not a number"),
    ("2025-02,98,", "‸2025-02,98", "", "This row has 2 cells, the header 3"),
    ("2025-02,98,", "‸2025-02,98,,", "", "This row has 4 cells, the header 3"),
    ("2025-02", "‸2025-13", "month", "“2025-13” is not a month"),
    ("2025-02", "‸2025-2", "month", "such as 2026-03"),
    ("2025-02", "‸Feb 2025", "month", "“Feb 2025” is not a month"),
    ("2025-02", "‸2025-02-01", "month", "is not a month"),
    ("2025-02", "‸1989-02", "month", "from 1990 to 2100"),
    ("2025-02", "‸", "month", "This row has no month"),
    ("2025-03", "‸2025-01", "month", "The month 2025-01 stands in line 2 already"),
    ("2025-01,112", "2025-01,‸\"112", "", "is not closed on its line"),
    ("2025-01,112", "2025-01,‸\"11\"2", "", "Something follows the closing quotation mark"),
    ("cto-pci", "‸cto-pcis", "cto-pcis", "No stratum is called “cto-pcis”. Did you mean “cto-pci”?"),
    ("cto-pci", "‸diabetics", "diabetics", "There are: all-pci, bifurcation-pci"),
    ("cto-pci", "‸all-pci", "all-pci", "stands here a second time"),
    ("cto-pci", "‸", "", "This column has no name"),
    ("month,", "‸date,", "", "No column is called month"),
    ("month,all-pci,cto-pci\n", "‸", "", "The header is missing"),
    ("month,all-pci,cto-pci", "‸month;all-pci;cto-pci", "", "not separated by commas"),
    ("month,all-pci,cto-pci", "‸month\tall-pci\tcto-pci", "", "not separated by commas"),
    ("month,all-pci,cto-pci", "‸month", "", "no column beside month"),
    ("\n2025-01,112,7\n2025-02,98,\n2025-03,0,8\n", "\n‸", "", "There is no month below the header"),
    ("2025-02,98,", "2025-02,98,\u{0}", "", "not a text file"),
];

#[test]
fn each_bad_table_is_told_at_its_line_and_column_and_nothing_is_taken_in() {
    let mut wrong = Vec::new();
    for (found, put, column, says) in SLIPS {
        assert!(GOOD.contains(found), "{found:?}");
        let text = GOOD.replacen(found, put, 1);
        let (text, place) = if put.contains('‸') { marked(&text) } else { (text, (3, 12)) };
        match read(text.as_bytes(), shipped_vocabulary()) {
            Ok(_) => wrong.push(format!("{put:?} was taken in")),
            Err(problems) => {
                let first = problems[0].in_file();
                let right = problems.len() == 1
                    && (first.line, first.column) == place
                    && first.path == *column
                    && first.message.contains(says);
                if !right {
                    let told: Vec<String> = problems.iter().map(ToString::to_string).collect();
                    wrong.push(format!("{put:?} at {place:?} was told as\n    {}", told.join("\n    ")));
                }
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    assert!(SLIPS.len() >= 20);
}

#[test]
fn every_bad_row_is_told_at_once() {
    let text = "month,all-pci\n2025-01,x\n2025-02,5\nsoon,7\n2025-04,-3\n";
    let problems = read(text.as_bytes(), shipped_vocabulary()).expect_err("bad rows");
    let lines: Vec<usize> = problems.iter().map(|problem| problem.in_file().line).collect();
    assert_eq!(lines, [2, 4, 5]);
    assert!(problems[0].to_string().starts_with("Line 2, all-pci: “x” is not a number"), "{}", problems[0]);
}

#[test]
fn an_empty_table_says_what_its_first_line_is() {
    for text in ["", "\n \n"] {
        let problems = read(text.as_bytes(), shipped_vocabulary()).expect_err("an empty table");
        assert!(problems[0].to_string().contains("Its first line names the columns"), "{}", problems[0]);
    }
}
