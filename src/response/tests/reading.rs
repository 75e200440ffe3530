//! Files that are refused, with the line and the column; and files that come back as they went.

use super::ALLOWED;
use crate::response::{LIST_AT_MOST, PromptList};

const HEAD: &str =
    "slug = \"own-list\"\ntitle = \"Ours\"\nsource = \"Our protocol\"\nmechanisms = [\"flow-air\"]\n";
const STEP: &str = "[[steps]]\nslug = \"one\"\ntext = \"T\"\nwhy = \"W\"\n";

fn problems(text: &str) -> Vec<(usize, usize, String)> {
    match PromptList::parse(text, &ALLOWED) {
        Ok(_) => Vec::new(),
        Err(problems) => problems.into_iter().map(|p| (p.line, p.column, p.message)).collect(),
    }
}

/// Head and step take lines 1 to 8; what is added begins on line 9.
#[test]
fn each_slip_is_told_with_its_place() {
    assert_eq!(problems(&format!("{HEAD}{STEP}")), []);
    for (added, line, column, message) in [
        ("hint = [\"x\"]", 9, 1, "“hint” is no key of a step. Did you mean “hints”?"),
        ("before = \"ones\"", 9, 10, "This list has no step “ones”. Did you mean “one”?"),
        ("before = \"one\"", 6, 8, "would have to come before itself"),
        ("before = \"Two\"", 9, 10, "A slug is 2 to 48 characters"),
        ("may_precede = \"yes\"", 9, 15, "Write true or false"),
        ("only_if = { question = \"leak\", answer = \"yes\" }", 9, 24, "This list has no question “leak”."),
        ("only_if = { answer = \"maybe\" }", 9, 22, "“maybe” is not a word for “answer”. Allowed: yes, no."),
        ("only_if = { answer = \"yes\" }", 9, 11, "This lacks “question”, which a condition needs."),
        ("only_if = \"leak\"", 9, 11, "Here stands a condition"),
        (
            "signs = [{ kinds = [\"baloon\"] }]",
            9,
            21,
            "“baloon” is not a kind of event. Did you mean “balloon”?",
        ),
        ("signs = [{ kinds = [] }]", 9, 20, "“kinds” needs at least one."),
        ("signs = [{ devices = [\"coil\"] }]", 9, 10, "This lacks “kinds”, which a sign needs."),
        (
            "signs = [{ kinds = [\"flow\"], devices = [\"stent\"] }]",
            9,
            41,
            "“stent” is not a device class. Allowed:",
        ),
        ("signs = [{ kinds = [\"flow\", \"flow\"] }]", 9, 29, "“flow” stands here twice."),
        ("signs = [{ kinds = [\"flow\"], flow_at_least = 4 }]", 9, 46, "A TIMI flow grade is 0, 1, 2 or 3"),
        ("signs = [{ kinds = [\"flow\"], place = \"same-vesel\" }]", 9, 38, "Did you mean “same-vessel”?"),
        ("signs = [{ kinds = [\"flow\"], from = \"later\" }]", 9, 37, "“later” is not a word for “from”."),
        ("signs = [{ kinds = [\"flow\"], after_step = \"one\" }]", 6, 8, "would have to come before itself"),
        ("signs = \"help\"", 9, 9, "Write “signs” as a list"),
        ("signs = [\"help\"]", 9, 10, "Here stands a sign"),
        (
            "may_precede = true\nsigns = [{ kinds = [\"flow\"], from = \"after-recognition\" }]",
            5,
            1,
            "may come before the onset",
        ),
        ("hints = [\"*\"]", 9, 10, "A hint is a word"),
        ("hints = [\"a*b\"]", 9, 10, "A hint is a word"),
        ("hints = [7]", 9, 10, "Write this as text in quotes."),
        ("source = \"  \"", 9, 10, "This text is empty."),
        ("source = \"a\\nb\"", 9, 10, "This text is one line"),
        (
            "[[steps]]\nslug = \"one\"\ntext = \"T\"\nwhy = \"W\"",
            10,
            8,
            "“one” names another question or step already.",
        ),
        ("[[steps]]\nslug = \"two\"\nwhy = \"W\"", 9, 1, "This lacks “text”, which a step needs."),
        (
            "[[questions]]\nslug = \"one\"\nasks = \"Q\"",
            10,
            8,
            "“one” names another question or step already.",
        ),
        ("[[questions]]\nslug = \"leak\"", 9, 1, "This lacks “asks”, which a question needs."),
        (
            "[[questions]]\nslug = \"leak\"\nasks = \"Q\"\nyes_mechanisms = [\"flow-slow\"]",
            10,
            8,
            "but the list is not for it",
        ),
        (
            "[[questions]]\nslug = \"leak\"\nasks = \"Q\"\nonly_if = { question = \"leak\", answer = \"no\" }",
            12,
            24,
            "stands before it",
        ),
        (
            "[[questions]]\nslug = \"leak\"\nasks = \"Q\"\nyes_mechanisms = [\"flow-air\"]\nno_mechanisms = [\"flow-air\"]",
            10,
            8,
            "both yes and no",
        ),
        ("why = \"again\"", 9, 1, "second time"),
        ("source = “ours”", 9, 10, "typographic"),
        ("source = ours", 9, 10, "Text stands in quotes"),
        ("source: \"ours\"", 9, 9, "equals sign"),
    ] {
        let found = problems(&format!("{HEAD}{STEP}{added}\n"));
        assert!(
            found.iter().any(|(l, c, m)| (*l, *c) == (line, column) && m.contains(message)),
            "{added}\nexpected {line}:{column} {message}\nfound {found:#?}"
        );
    }
}

#[test]
fn every_problem_of_a_file_is_told_in_its_order() {
    let text = "slug = \"Own\"\ntitle = \"\"\nmechanisms = [\"flow-airr\", \"guide-left-mian\"]\ncolour = 1\n\n[[steps]]\nslug = \"one\"\ntext = \"T\"\n\n[[steps]]\nsteps = 1\n";
    let places: Vec<(usize, usize)> =
        problems(text).iter().map(|(line, column, _)| (*line, *column)).collect();
    // Missing source; slug; title; two mechanisms; colour; no why; slug, text, why and steps of the second.
    let expected =
        [(1, 1), (1, 8), (2, 9), (3, 15), (3, 28), (4, 1), (6, 1), (10, 1), (10, 1), (10, 1), (11, 1)];
    assert_eq!(places, expected, "{:#?}", problems(text));
}

#[test]
fn columns_count_characters() {
    let found = problems(&format!("{HEAD}{STEP}hints = [\"Späti\", 7]\n"));
    assert_eq!(found, [(9, 19, "Write this as text in quotes.".to_owned())]);
}

#[test]
fn a_list_says_where_it_comes_from_and_has_a_step_and_a_mechanism() {
    let without = |key: &str| {
        let kept: Vec<&str> = HEAD.lines().filter(|line| !line.starts_with(key)).collect();
        problems(&format!("{}\n{STEP}", kept.join("\n")))
    };
    for key in ["slug", "title", "source", "mechanisms"] {
        assert_eq!(without(key), [(1, 1, format!("This lacks “{key}”, which a list needs."))]);
    }
    assert_eq!(problems(HEAD), [(1, 1, "This lacks “steps”, which a list needs.".to_owned())]);
    assert_eq!(
        problems(&format!("steps = []\n{HEAD}")),
        [(1, 9, "A list has at least one step.".to_owned())]
    );
    let none = format!("{}{STEP}", HEAD.replace("\"flow-air\"", ""));
    assert_eq!(problems(&none), [(4, 14, "“mechanisms” needs at least one.".to_owned())]);
}

#[test]
fn the_limits_hold_to_the_last_one() {
    let steps = |count: usize| {
        (0..count)
            .map(|n| format!("[[steps]]\nslug = \"s{n}-x\"\ntext = \"T\"\nwhy = \"W\"\n"))
            .collect::<String>()
    };
    let questions = |count: usize| {
        (0..count).map(|n| format!("[[questions]]\nslug = \"q{n}\"\nasks = \"Q\"\n")).collect::<String>()
    };
    let long = |count: usize| format!("source = \"{}\"\n", "ä".repeat(count));
    let hints = |count: usize| format!("hints = [{}]\n", "\"word\", ".repeat(count));
    for (good, bad, message) in [
        (steps(40), steps(41), "At most 40 “steps” fit in a list; these are 41."),
        (STEP.to_owned() + &questions(10), STEP.to_owned() + &questions(11), "At most 10 “questions”"),
        (
            STEP.to_owned() + &long(600),
            STEP.to_owned() + &long(601),
            "At most 600 characters fit here; this has 601.",
        ),
        (STEP.to_owned() + &hints(20), STEP.to_owned() + &hints(21), "At most 20 “hints”"),
    ] {
        assert_eq!(problems(&format!("{HEAD}{good}")), []);
        let found = problems(&format!("{HEAD}{bad}"));
        assert!(found.len() == 1 && found[0].2.contains(message), "{found:?}");
    }
    let padded = |length: usize| format!("{HEAD}{STEP}#{}", "x".repeat(length - HEAD.len() - STEP.len() - 1));
    assert_eq!(problems(&padded(LIST_AT_MOST)), []);
    assert!(
        problems(&padded(LIST_AT_MOST + 1))[0].2.contains("At most")
            || problems(&padded(LIST_AT_MOST + 1)).len() == 1
    );
}

#[test]
fn steps_that_wait_for_each_other_are_refused() {
    let step =
        |slug: &str, rest: &str| format!("[[steps]]\nslug = \"{slug}\"\ntext = \"T\"\nwhy = \"W\"\n{rest}\n");
    let circle =
        step("s-a", "before = \"s-b\"") + &step("s-b", "before = \"s-c\"") + &step("s-c", "before = \"s-a\"");
    let found = problems(&format!("{HEAD}{circle}"));
    assert_eq!(found.iter().map(|(line, _, _)| *line).collect::<Vec<_>>(), [6, 11, 16]);
    // A should come before B, yet is seen only after B.
    let crossed = step("s-a", "before = \"s-b\"\nsigns = [{ kinds = [\"flow\"], after_step = \"s-b\" }]")
        + &step("s-b", "");
    assert_eq!(problems(&format!("{HEAD}{crossed}")).len(), 2);
    let straight = step("s-a", "before = \"s-b\"")
        + &step("s-b", "signs = [{ kinds = [\"flow\"], after_step = \"s-a\" }]");
    assert_eq!(problems(&format!("{HEAD}{straight}")), []);
}

#[test]
fn a_row_that_cannot_be_read_does_not_make_others_point_nowhere() {
    let text = format!("{HEAD}{STEP}before = \"two\"\n[[steps]]\nslug = \"2\"\ntext = \"T\"\nwhy = \"W\"\n");
    let found = problems(&text);
    assert_eq!(found.len(), 1, "{found:?}");
    assert_eq!((found[0].0, found[0].1), (11, 8));
    let row = "{ slug = \"one\", text = \"T\", why = \"W\", before = \"two\" }";
    let found = problems(&format!("{HEAD}steps = [\"two\", {row}]\n"));
    assert_eq!(found, [(5, 10, "Here stands a step: keys with their values.".to_owned())]);
}

#[test]
fn a_file_that_is_no_list_is_refused_and_not_read_on() {
    for text in
        ["", "{}", "[[[[[[[[", "\u{0}", "= = =", "slug", "\u{feff}", &"[".repeat(5000), &"a.".repeat(5000)]
    {
        assert!(!problems(text).is_empty(), "{:?}", text.chars().take(20).collect::<String>());
    }
    let deep = format!("{HEAD}{STEP}hints = {}{}\n", "[".repeat(60), "]".repeat(60));
    assert!(problems(&deep).iter().any(|(line, _, message)| *line == 9 && message.contains("nested deeper")));
}

#[test]
fn what_is_written_reads_back_and_leaves_out_what_says_nothing() {
    let text = format!(
        "{HEAD}\n[[questions]]\nslug = \"leak\"\nasks = \"Does it “leak”, \\\"still\\\"? C:\\\\\"\nyes_signs = [\n    {{ kinds = [\"flow\"], place = \"same-tree\", flow_at_least = 2, after_lost_flow = true, from = \"at-onset\", after_step = \"one\" }},\n    {{ kinds = [\"help\", \"finding\"], devices = [\"coil\"] }},\n]\n\n{STEP}only_if = {{ question = \"leak\", answer = \"no\" }}\nmay_precede = true\nsigns = [{{ kinds = [\"help\"] }}]\nhints = [\"echo*\", \"two words\"]\n"
    );
    let list = PromptList::parse(&text, &ALLOWED).unwrap();
    assert_eq!(list.to_toml(), text);
    assert_eq!(PromptList::parse(&format!("\u{feff}{text}"), &ALLOWED).unwrap(), list);
}
