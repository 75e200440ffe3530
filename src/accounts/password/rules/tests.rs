//! Each rule with its source, just inside and just outside.

use super::*;

fn parse(text: &str, second_factor: bool) -> Result<(), PasswordError> {
    let name: UserName = "Dr Ana Ito".parse().unwrap();
    NewPassword::parse(text, &PasswordRules { name: &name, second_factor }).map(drop)
}

/// SP 800-63B-4, 3.1.1.2: "used as a single-factor authentication mechanism … a minimum of 15 characters".
#[test]
fn alone_it_has_fifteen_characters() {
    assert_eq!(parse("lamp river hat", false), Err(PasswordError::TooShort(15)));
    assert_eq!(parse("lamp river hats", false), Ok(()));
}

/// The same place: "only used as part of multi-factor authentication … a minimum of eight".
#[test]
fn beside_a_second_factor_it_has_eight() {
    assert_eq!(parse("lamphat", true), Err(PasswordError::TooShort(8)));
    assert_eq!(parse("lamp hat", true), Ok(()));
}

/// The same place: "a maximum password length of at least 64 characters", and nothing is cut off.
#[test]
fn long_ones_are_taken() {
    let words = "seven blue kettles argue about the weather on a slow train west; ";
    assert!(words.chars().count() >= 64);
    assert_eq!(parse(words, false), Ok(()));
    let longest: String = words.chars().cycle().take(NewPassword::AT_MOST).collect();
    assert_eq!(parse(&longest, false), Ok(()));
    assert_eq!(parse(&(longest + "x"), false), Err(PasswordError::TooLong));
}

/// The same place: a code point counts as one character; spaces and all of Unicode are taken.
#[test]
fn every_script_is_taken_and_counted_by_character() {
    for good in
        ["лампа река шляпа!", "ランプと川と帽子がならぶ小さな町", "lamp 🦆 river 🧢 ok", "   lamp   hat    "]
    {
        assert_eq!(parse(good, false), Ok(()), "{good}");
    }
    assert_eq!(parse("лампа и шляпа", false), Err(PasswordError::TooShort(15)));
}

/// The same place: "SHALL NOT impose other composition rules"; ASVS 5.0, 6.2.5.
#[test]
fn no_kind_of_character_is_asked_for_or_refused() {
    for good in
        ["lampriverhatsock", "LAMPRIVERHATSOCK", "840177360295118", "#;%~&<=!'\"|*\\$?", "lämp rïver hät sö"]
    {
        assert_eq!(parse(good, false), Ok(()), "{good}");
    }
}

/// The same place: passwords of earlier breaches; ASVS 5.0, 6.2.4: the 3,000 most common that fit at least.
#[test]
fn common_ones_are_refused_also_with_a_little_hung_on() {
    assert!(COMMON.len() > 3_000, "{}", COMMON.len());
    assert!(COMMON.iter().all(|word| word.len() >= 8 && !word.starts_with('#')));
    for (bad, second_factor) in [
        ("sunshine", true),
        ("SunShine", true),
        ("trustno1", true),
        ("baseball", true),
        ("sunshine1234567", false),
        ("Baseball!!2026!!!", false),
        ("123456789qwerty", false),
        ("passwordpassword", false),
        ("baseballbaseballb", false),
    ] {
        assert_eq!(parse(bad, second_factor), Err(PasswordError::Common), "{bad}");
    }
    // A part of it may be common: the whole is compared.
    assert_eq!(parse("sunshine over lamps", false), Ok(()));
}

/// SP 800-63B, 5.1.1.2: "Repetitive or sequential characters (e.g. aaaaaa, 1234abcd)".
#[test]
fn repeats_and_runs_are_refused() {
    for bad in [
        "aaaaaaaaaaaaaaa",
        "abcabcabcabcabc",
        "lamplamplamplamp",
        "лампалампалампа",
        "abcdefghijklmnop",
        "ponmlkjihgfedcba",
        "qwertyuiopasdfgh",
        "1234567890123456",
        "1234 5678 abcd efgh",
        "aabbccddeeffgghh",
    ] {
        assert!(matches!(parse(bad, false), Err(PasswordError::Pattern | PasswordError::Common)), "{bad}");
    }
    assert_eq!(parse("lamp lamp river hat", false), Ok(()));
}

/// SP 800-63B-4, 3.1.1.2: "the name of the service, the username, and derivatives thereof"; ASVS 5.0, 6.2.11.
#[test]
fn the_name_and_the_words_of_this_place_are_refused_as_the_whole() {
    for bad in [
        "dranaitodranaito2026",
        "Ito Ana Ito Ana 1999",
        "relook relook 2026",
        "RelookPassword1!",
        "cathlabcomplications",
        "hospital-quality-lead",
    ] {
        assert_eq!(parse(bad, false), Err(PasswordError::Expected), "{bad}");
    }
    assert_eq!(parse("Ana saw relook in a lake", false), Ok(()));
}

#[test]
fn a_reason_is_a_sentence_and_nothing_shows_the_password() {
    let name: UserName = "Dr Ana Ito".parse().unwrap();
    let rules = PasswordRules { name: &name, second_factor: false };
    let shown = format!("{:?}", NewPassword::parse("lamp river hats", &rules));
    assert!(!shown.contains("lamp"), "{shown}");
    let alone = PasswordError::TooShort(15).to_string();
    assert!(
        alone.starts_with("A password has at least 15 characters when nothing else is asked for."),
        "{alone}"
    );
    let beside = PasswordError::TooShort(8).to_string();
    assert!(beside.starts_with("A password has at least 8 characters. "), "{beside}");
}
