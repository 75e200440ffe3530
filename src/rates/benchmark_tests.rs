//! Unit tests of the published incidences.

use std::collections::BTreeSet;

use super::*;
use crate::vocabulary::mechanisms;

/// What became of a row of the project's table of published incidences.
enum Use {
    /// It ships, under this name.
    Ships(&'static str),
    /// It does not, because of this.
    LeftOut(&'static str),
}
use Use::{LeftOut, Ships};

const NO_SUBJECT: &str = "no mechanism or branch of the tree counts just this";
const ALL_CATHETERS: &str = "counted among all catheter work, most of it diagnostic";
const NO_N: &str = "printed without n";
const INFARCT: &str = "infarct PCI alone, which is none of the strata";
const OUTCOME: &str = "an outcome or a treatment, not a mechanism";

/// Every figure of the table, with events and n as printed.
#[rustfmt::skip]
const TABLE: &[(&str, Option<u64>, Option<u64>, Use)] = &[
    ("catheter-induced dissection", Some(185), Some(17_225), Ships("catheter-dissection-hiraide-2018")),
    ("left main dissection", Some(38), Some(51_452), LeftOut(ALL_CATHETERS)),
    ("aorto-coronary dissection", None, None, LeftOut(NO_N)),
    ("residual significant dissection", None, None, LeftOut(NO_N)),
    ("abrupt closure, 1994-2000", Some(103), Some(3_300), LeftOut(NO_SUBJECT)),
    ("perforation, UK 2006-13", Some(1_762), Some(527_121), LeftOut(NO_SUBJECT)),
    ("perforation, pooled 67 studies", None, Some(5_568_191), LeftOut(NO_SUBJECT)),
    ("share of perforations by severity and outcome", None, None, LeftOut("a share of perforations, not an incidence")),
    ("perforation, acute coronary syndrome", Some(1_013), Some(270_329), LeftOut(NO_SUBJECT)),
    ("tamponade from perforation", Some(26), Some(23_399), Ships("tamponade-stathopoulos-2013")),
    ("tamponade, 1994-96", Some(15), Some(6_999), Ships("tamponade-von-sohsten-2000")),
    ("no-reflow, infarct PCI", Some(6_553), Some(291_380), LeftOut(INFARCT)),
    ("no-reflow, STEMI", None, Some(1_257), LeftOut(INFARCT)),
    ("no-reflow, not STEMI", None, Some(18_033), LeftOut("all but infarcts with ST elevation, which is none of the strata")),
    ("no-reflow, infarct with stents", Some(258), Some(4_329), LeftOut(INFARCT)),
    ("TIMI 2 or less after primary PCI, first", Some(166), Some(530), LeftOut("slow flow and no-reflow together, two mechanisms here")),
    ("TIMI 2 or less after primary PCI, second", Some(331), Some(1_122), LeftOut("slow flow and no-reflow together, two mechanisms here")),
    ("side branch TIMI below 3 after main stenting", Some(187), Some(2_227), Ships("side-branch-hahn-2013")),
    ("emergency CABG 2000-03", None, Some(6_577), LeftOut(OUTCOME)),
    ("emergency CABG 1992-2000", Some(113), Some(18_593), LeftOut(OUTCOME)),
    ("emergency CABG 1994-2008", Some(90), Some(21_957), LeftOut(OUTCOME)),
    ("death in hospital and to 30 days", None, Some(273_141), LeftOut(OUTCOME)),
    ("stroke, over 72 h", Some(1_540), Some(706_782), Ships("stroke-aggarwal-2009")),
    ("in-hospital stroke, Melbourne", None, Some(22_618), Ships("stroke-melbourne-2020")),
    ("in-hospital bleeding, 65 and older", Some(14_107), Some(461_311), LeftOut("bleeding of any site at 65 and older, mostly femoral")),
    ("definite stent thrombosis to 1 y", Some(55), Some(6_545), Ships("stent-thrombosis-rozemeijer-2019")),
    ("definite stent thrombosis, 4 y", Some(192), Some(8_146), LeftOut("cumulative over 4 years of follow-up, not events by procedures")),
    ("kidney injury", Some(69_658), Some(985_737), Ships("kidney-injury-tsai-2014")),
    ("new dialysis", Some(3_005), Some(985_737), LeftOut(OUTCOME)),
    ("stent loss, single centre", Some(38), Some(11_773), Ships("stent-loss-brilakis-2005")),
    // A pooled figure: its printed interval stands, so events are left aside.
    ("stent loss, pooled", None, Some(71_655), Ships("stent-loss-pooled-1991-2012")),
    ("device loss", Some(9), Some(2_338), LeftOut(NO_SUBJECT)),
    ("device entrapment", Some(4), Some(2_338), LeftOut(NO_SUBJECT)),
    ("wire entrapment", Some(2), Some(2_338), Ships("wire-entrapment-2012")),
    ("coronary air embolism", Some(10), Some(3_715), LeftOut(ALL_CATHETERS)),
    ("longitudinal stent deformation", None, None, LeftOut(NO_N)),
];

fn shipped_row(id: &str) -> &'static Benchmark {
    shipped().unwrap().iter().find(|row| row.id == id).unwrap()
}

#[test]
fn every_published_figure_ships_as_printed_or_is_left_out_for_a_reason() {
    let mut used = BTreeSet::new();
    for (name, events, n, place) in TABLE {
        match place {
            Ships(id) => {
                let row = shipped_row(id);
                assert_eq!(row.events_in().map(Count::events), *events, "{name}");
                assert_eq!(Some(row.n()), *n, "{name}");
                assert!(used.insert(*id), "{name}");
            }
            LeftOut(why) => {
                let same = |row: &&Benchmark| {
                    n.is_some()
                        && Some(row.n()) == *n
                        && row.events_in().map(|count| count.events()) == *events
                };
                let shipped = shipped().unwrap().iter().find(same);
                assert!(shipped.is_none(), "{name} is left out ({why}), and ships all the same");
            }
        }
    }
    let shipped: BTreeSet<&str> = shipped().unwrap().iter().map(|row| row.id.as_str()).collect();
    assert_eq!(shipped, used);
    assert_eq!(shipped.len(), super::shipped().unwrap().len(), "a name stands twice");
}

#[test]
fn every_row_is_compared_with_what_the_shipped_tree_has() {
    let tree = mechanisms();
    for row in shipped().unwrap() {
        for subject in &row.subjects {
            let there = match subject {
                Subject::Whole => true,
                Subject::Branch(slug) => tree.branch.iter().any(|branch| branch.slug == *slug),
                Subject::Mechanism(slug) => tree.leaf.iter().any(|leaf| leaf.slug == *slug),
            };
            assert!(there, "{}: {subject:?}", row.id);
            assert!(Benchmark::of(subject).contains(&row));
        }
    }
}

#[test]
fn intervals_are_those_of_the_reference_table() {
    // The five checks under the table: per cent, Wilson at 95 %, to three decimals.
    let per_cent = |count: Count| {
        let interval = wilson(count, Level::NINETY_FIVE).times(100.0);
        [count.proportion() * 100.0, interval.lower(), interval.upper()]
    };
    let mut shipped_rows = 0;
    for (events, n, printed) in [
        (1_762, 527_121, [0.334, 0.319, 0.350]),
        (187, 2_227, [8.397, 7.315, 9.622]),
        (4, 2_338, [0.171, 0.067, 0.439]),
        (185, 17_225, [1.074, 0.931, 1.239]),
    ] {
        for (found, printed) in per_cent(Count::new(events, n).unwrap()).into_iter().zip(printed) {
            assert!((found - printed).abs() <= 0.000_5 + 1e-9, "{events}/{n}: {found} {printed}");
        }
        let row = shipped()
            .unwrap()
            .iter()
            .find(|row| row.events_in().is_some_and(|c| c.procedures() == n && c.events() == events));
        if let Some(row) = row {
            shipped_rows += 1;
            let band = row.interval_per_1000().unwrap();
            for (found, printed) in [row.rate_per_1000(), band.lower, band.upper].into_iter().zip(printed) {
                assert!((found - printed * 10.0).abs() <= 0.005 + 1e-9, "{}: {found} {printed}", row.id);
            }
        }
    }
    assert_eq!(shipped_rows, 2, "of the four, the side branch and the catheter dissection ship");
    // Without procedures there is no rate.
    assert_eq!(Count::new(0, 0), Err(CountError::NoProceduresAtRisk));
}

#[test]
fn computed_intervals_agree_with_those_that_two_studies_print() {
    // Per cent, by whatever method the study used: Brilakis 2005, 0.23 to 0.44; Rozemeijer 2019, 0.63
    // to 1.10 (both abstracts).
    for (id, lower, upper) in
        [("stent-loss-brilakis-2005", 0.23, 0.44), ("stent-thrombosis-rozemeijer-2019", 0.63, 1.10)]
    {
        let band = shipped_row(id).interval_per_1000().unwrap();
        assert_eq!(band.from, BandFrom::Wilson);
        assert!((band.lower / 10.0 - lower).abs() < 0.025, "{id}: {band:?}");
        assert!((band.upper / 10.0 - upper).abs() < 0.025, "{id}: {band:?}");
    }
}

#[test]
fn a_pooled_figure_keeps_its_printed_interval_and_a_bare_rate_has_none() {
    let pooled = shipped_row("stent-loss-pooled-1991-2012");
    assert_eq!(pooled.events_in(), None);
    assert!((pooled.rate_per_1000() - 13.0).abs() < 1e-9);
    let band = pooled.interval_per_1000().unwrap();
    assert!((band.lower - 8.0).abs() < 1e-9 && (band.upper - 28.0).abs() < 1e-9);
    assert_eq!(band.from, BandFrom::Printed);
    let bare = shipped_row("stroke-melbourne-2020");
    assert_eq!(bare.interval_per_1000(), None);
    assert!((bare.rate_per_1000() - 3.3).abs() < 1e-9);
    assert_eq!(bare.label_with_n(), "Melbourne 2020, n 22,618 patients");
    assert!(bare.sentence().contains("3.3 per 1,000 (no interval printed)"), "{}", bare.sentence());
}

#[test]
fn a_subject_has_its_own_rows_and_others_have_none() {
    let of = |slug: &str| -> Vec<&str> {
        let subject = Subject::Mechanism(slug.parse().unwrap());
        Benchmark::of(&subject).iter().map(|row| row.id.as_str()).collect()
    };
    assert_eq!(of("stent-loss"), ["stent-loss-brilakis-2005", "stent-loss-pooled-1991-2012"]);
    assert_eq!(of("flow-no-reflow"), [] as [&str; 0]);
    assert_eq!(Benchmark::of(&Subject::Whole), [] as [&Benchmark; 0]);
    assert_eq!(Benchmark::of(&Subject::Branch("branch".to_owned())).len(), 1);
}

#[test]
fn a_row_is_told_with_its_study_n_limits_population_and_years() {
    let row = shipped_row("side-branch-hahn-2013");
    assert_eq!(
        row.sentence(),
        "Hahn 2013, 187 of 2,227 lesions: 84.0 per 1,000 (73.2 to 96.2, 95 % interval (Wilson) of the study's own numbers). Counted: TIMI flow below 3 in a side branch of 2.3 mm or more after the main vessel was stented. Bifurcation lesions with drug-eluting stents, Korea, published 2013."
    );
    assert!(row.caution().starts_with("Counted by lesion"));
    for row in shipped().unwrap() {
        assert!(row.caution().ends_with(CAUTION), "{}", row.id);
        for text in [&row.label, &row.definition, &row.population, &row.years, &row.source] {
            assert!(!text.trim().is_empty(), "{}", row.id);
        }
        assert!(row.differs.as_ref().is_none_or(|text| text.ends_with('.')), "{}", row.id);
    }
}

/// A row with these figures.
fn with(figures: &str) -> String {
    format!(
        "[[benchmark]]\nid = \"x\"\nwhole = true\nlabel = \"X\"\ndefinition = \"d\"\npopulation = \"p\"\n\
         years = \"y\"\ncounted = \"procedures\"\nsource = \"s\"\nmark = \"from-memory\"\n{figures}\n"
    )
}

#[test]
fn a_malformed_row_is_an_error_that_names_it() {
    assert_eq!(read(&with("events = 1\nn = 20")).unwrap()[0].subjects, [Subject::Whole]);
    for (figures, says) in [
        ("n = 20", "benchmark x: give events and n"),
        ("events = 1\nper_cent = 5.0\nn = 20", "benchmark x: give events and n"),
        ("per_cent = 101.0\nn = 20", "benchmark x: give events and n"),
        ("per_cent = 5.0\ninterval_per_cent = [6.0, 7.0]\nn = 20", "benchmark x: give events and n"),
        ("per_cent = 5.0\nn = 0", "benchmark x: give events and n"),
        ("events = 21\nn = 20", "benchmark x: 21 events among 20 procedures"),
        ("events = 0\nn = 0", "benchmark x: no procedures at risk"),
        ("events = 1", "benchmarks.toml:"),
        ("events = 1\nn = 20\nrate = 5", "benchmarks.toml:"),
    ] {
        let error = read(&with(figures)).unwrap_err().to_string();
        assert!(error.starts_with(says), "{figures}: {error}");
    }
    let nothing = with("events = 1\nn = 20").replace("whole = true\n", "");
    assert_eq!(read(&nothing).unwrap_err().to_string(), "benchmark x: compared with nothing");
}
