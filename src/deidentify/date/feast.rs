//! Days with a name.

use std::collections::HashMap;
use std::sync::LazyLock;

use super::super::scan::Scan;

/// The words of each. The first carries a capital.
#[rustfmt::skip]
const FEASTS: &[&str] = &[
    "boxing day", "christmas day|eve", "christmas", "xmas", "new year '|’ s day|eve", "new years day|eve",
    "new year", "easter monday|sunday|saturday", "easter", "good friday", "holy saturday", "whit monday|sunday", "thanksgiving", "halloween", "diwali",
    "hogmanay", "epiphany", "passover", "eid al - fitr|adha", "eid", "ramadan", "hanukkah", "yom kippur", "rosh hashanah", "holi", "vesak", "midsummer",
    "labour|labor|independence|memorial|veterans|bastille|republic|may|ascension|canada|anzac|australia|columbus|presidents|remembrance|martyrs day",
    "mother|father|valentine|patrick|king '|’ s day", "pentecost", "shrove|ash|maundy tuesday|wednesday|thursday", "bank holiday", "juneteenth", "cinco de mayo",
    "heiligabend|silvester|ostern|pfingsten|weihnachten|noël|pâques|navidad|natale|ferragosto|midsommar",
];

/// The feasts by the word that they begin with.
static BY_FIRST_WORD: LazyLock<HashMap<&'static str, Vec<&'static str>>> = LazyLock::new(|| {
    let mut by_word: HashMap<_, Vec<_>> = HashMap::new();
    for feast in FEASTS {
        for word in feast.split(' ').next().unwrap_or_default().split('|') {
            by_word.entry(word).or_default().push(*feast);
        }
    }
    by_word
});

/// The end of a day with a name: `Boxing Day`, `New Year's Eve`.
pub(super) fn feast(scan: &Scan<'_>, at: usize) -> Option<usize> {
    let bank = scan.lower(at) == "bank" && scan.lower(at + 1) == "holiday";
    if !scan.capitalised(at) && !bank {
        return None;
    }
    let feasts = BY_FIRST_WORD.get(scan.lower(at))?;
    let end = feasts.iter().find_map(|feast| scan.words_at(at, feast))?;
    let whole = if scan.lower_before(end) == "." && scan.begins_sentence(end) { end - 1 } else { end };
    // Christmas disease and its factor belong to a family, not to a day.
    (!matches!(scan.lower(end), "disease" | "factor" | "tree" | "egg")).then_some(whole)
}
