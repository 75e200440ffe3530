//! How long the detector of identifiers takes for 10,000 words.
//!
//! `cargo bench --bench deidentify` scans a text of 10,000 words of the cath lab, one identifier in every four
//! sentences, and the same text without any. It prints the fastest turn, median and 99th percentile, and fails on
//! nothing: 10,000 words are meant to take less than 10 ms. The first look, which reads the lists, is told apart.

#![allow(missing_docs)]

use std::hint::black_box;
use std::time::{Duration, Instant};

use relook::deidentify::suspect;

const TIMES: usize = 300;
const WORDS: usize = 10_000;
const LIMIT_MS: f64 = 10.0;

/// Sentences that hold nothing.
const PLAIN: &[&str] = &[
    "The mid LAD was predilated with a 2.5 x 15 mm balloon at 14 atm.",
    "TIMI 1 flow after the second inflation; adenosine 60 µg was given through the guide.",
    "An Ellis III perforation at the distal edge was sealed with a covered stent 3.0 x 20 mm.",
    "ACT 287 s at 20 min, 312 s at 45 min, protamine withheld.",
    "The Judkins left 4 guide damped and was changed for an extra back-up 3.5.",
    "Pressure fell from 120/80 to 70/40 within 3 minutes, heart rate 98.",
    "Creatinine rose from 92 to 184 µmol/L on day 2 after 310 mL of contrast.",
    "We march the microcatheter forward and may need a second guide.",
];

/// Sentences with an identifier, all invented.
const HOLDING: &[&str] = &[
    "Dr Marlow asked for a second view on 3 March 2024 at 14:05.",
    "The patient's daughter Imogen rang from 22 Quarry Lane, tel 0161 496 0000.",
    "MRN 4471902 came from Eastmere Infirmary to bed 14, Ward 7B.",
    "Kowalska took over, a 91-year-old man on the table, lot 9920417 in hand.",
];

/// A text of so many words; every `one_in`-th sentence holds an identifier.
fn text(one_in: Option<usize>) -> String {
    let mut text = String::new();
    let mut words = 0;
    for index in 0.. {
        let holds = one_in.is_some_and(|one_in| index % one_in == 0);
        let list = if holds { HOLDING } else { PLAIN };
        let sentence = list[(index / one_in.unwrap_or(1)) % list.len()];
        words += sentence.split_whitespace().count();
        text.push_str(sentence);
        text.push(' ');
        if words >= WORDS {
            break;
        }
    }
    text
}

/// Scans many times; gives the fastest turn, the median and the 99th percentile in ms.
fn measure(name: &str, text: &str) -> f64 {
    let mut times: Vec<Duration> = Vec::with_capacity(TIMES);
    let mut found = 0;
    for turn in 0..TIMES + TIMES / 10 {
        let started = Instant::now();
        found = black_box(suspect(black_box(text))).len();
        let taken = started.elapsed();
        // The first turns warm the caches up.
        if turn >= TIMES / 10 {
            times.push(taken);
        }
    }
    times.sort_unstable();
    let ms = |time: Duration| time.as_secs_f64() * 1e3;
    let [fastest, median, p99] = [times[0], times[TIMES / 2], times[TIMES * 99 / 100]].map(ms);
    println!(
        "{name:<36} {found:>5} found   fastest {fastest:>7.3} ms   median {median:>7.3} ms   p99 {p99:>7.3} ms"
    );
    median
}

fn main() {
    let started = Instant::now();
    black_box(suspect("TIMI 3"));
    println!("the first look, with the lists read: {:.2} ms", started.elapsed().as_secs_f64() * 1e3);
    let slowest = measure("10,000 words, a fourth identify", &text(Some(4)))
        .max(measure("10,000 words that hold nothing", &text(None)));
    let verdict = if slowest < LIMIT_MS { "below" } else { "not below" };
    println!("The median is {verdict} {LIMIT_MS} ms.");
}
