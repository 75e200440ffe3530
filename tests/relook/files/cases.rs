//! Cases of every kind: ordinary, very long, nearly empty, and in other scripts.

use std::fmt::Write as _;

use super::Told;

const ORDINARY: &str =
    include_str!("../../../demo-cases/2025-007-wire-dissection-closure-diagonal-lost.toml");
const FULL: &str = include_str!("../review/full.toml");
const NEARLY_EMPTY: &str = "format = 1\ntitle = \"Bleed after a radial procedure\"\nmonth = \"2025-03\"\nstage = \"recorded\"\n[[complications]]\nkey = \"c1\"\nmechanism = \"access-haematoma\"\n";

/// A case of the demo.
pub fn ordinary() -> Told {
    Told::of("ordinary", ORDINARY)
}

/// A case of hardly anything.
pub fn nearly_empty() -> Told {
    Told::of("nearly-empty", NEARLY_EMPTY)
}

/// A case whose parts are all as long as they may be, with many events.
pub fn very_long() -> Told {
    let sentence = "The second wire was advanced through the true lumen while contrast was kept low; nobody said aloud what was seen. ";
    let long = sentence.repeat(7);
    let mut text = FULL
        .replace(
            "The wire met resistance, and a loop was pushed on.",
            &format!("# What was seen\\n\\n{long}\\n\\n- One thing\\n- Another"),
        )
        .replace("A looped tip that moves freely past a bend proves nothing.", long.trim())
        .replace(
            "The second catheter was kept in another room, so recrossing began late",
            long.trim_end_matches([' ', '.']),
        )
        .replace("The second wire stayed in the lumen, and flow came back with the stent.", long.trim())
        .replace(
            "question = \"The vessel is closed and the wire is outside it. What next?\"",
            &format!("question = \"{}\"", sentence.repeat(2).trim()),
        );
    let mut events = String::new();
    for number in 1..=60 {
        let _ = write!(
            events,
            "[[events]]\nkey = \"more-{number}\"\nat = \"+{}:{:02}\"\nkind = \"flow\"\nsegment = \"lad-mid\"\nflow = {}\npressure = \"92/54\"\nheart_rate = 96\ntext = \"{}\"\n\n",
            60 + number,
            number % 60,
            number % 4,
            if number % 5 == 0 {
                sentence.repeat(2).trim().to_owned()
            } else {
                format!("Event of number {number} is told in a line.")
            }
        );
    }
    text = text.replacen("[[complications]]", &format!("{events}[[complications]]"), 1);
    Told::of("very-long", &text)
}

/// The full case with its words in another script.
fn in_words(name: &'static str, title: &str, sentence: &str) -> Told {
    let text = FULL
        .replace("Vessel closed after a wire left the lumen", title)
        .replace("A wire left the lumen at a bend and the artery closed. It was recrossed and stented, and a branch was lost.", &format!("{sentence} {sentence}"))
        .replace("A looped tip that moves freely past a bend proves nothing.", sentence)
        .replace("The second catheter was kept in another room, so recrossing began late", sentence)
        .replace("The vessel is closed and the wire is outside it. What next?", sentence)
        .replace("Pull the wire and try again", &format!("{title} (1)"))
        .replace("No flow past the bend.", sentence)
        .replace("Loop pushed past the bend", title);
    Told::of(name, &text)
}

pub fn greek() -> Told {
    in_words(
        "greek",
        "Απόφραξη μετά από διαχωρισμό του αγγείου",
        "Το σύρμα βγήκε από τον αυλό στη στροφή και η αρτηρία έκλεισε, χωρίς ροή για τριάντα οκτώ λεπτά.",
    )
}

pub fn arabic() -> Told {
    in_words(
        "arabic",
        "انسداد الشريان بعد تسلخ جداره",
        "خرج السلك من تجويف الشريان عند المنعطف فانسد الشريان، ولم يعد الجريان إلا بعد ثمان وثلاثين دقيقة.",
    )
}

pub fn chinese() -> Told {
    in_words(
        "chinese",
        "导丝穿出血管后前降支闭塞",
        "导丝在弯曲处穿出管腔，随后动脉闭塞，三十八分钟内无血流；再次通过并植入支架后血流恢复，但丢失一支对角支。",
    )
}

pub fn emoji() -> Told {
    in_words(
        "emoji",
        "Closed 🫀 after the wire left ⚠️",
        "👩‍⚕️ The wire left 🫀 the lumen, ⏱️ 38 minutes without flow, 👍🏽 then it came back 🎉.",
    )
}

/// All of them.
pub fn all() -> Vec<Told> {
    vec![ordinary(), very_long(), nearly_empty(), greek(), arabic(), chinese(), emoji()]
}
