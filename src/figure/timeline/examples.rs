//! Invented cases to draw: a small one, a full one, and one that asks too much.

use super::{Bracket, Lane, LaneSight, Mark, MarkFamily, TimelineDrawing};
use crate::quantity::{Certainty, DurationWords, Offset, TimiFlow};
use MarkFamily::{Decide, Give, Patient, Reach, Rescue, See, Treat};

pub(super) fn at(text: &str) -> Offset {
    text.parse().unwrap()
}

fn sight(text: &str, grade: i64) -> LaneSight {
    let flow = Some(TimiFlow::try_from(grade).unwrap());
    LaneSight { at: at(text), flow, bounds: None }
}

fn lane(label: &str, depth: u8, sights: &[(&str, i64)]) -> Lane {
    let sights = sights.iter().map(|&(text, grade)| sight(text, grade)).collect();
    Lane { label: label.to_owned(), depth, sights }
}

fn marks(list: &[(&str, MarkFamily, Option<usize>, &str)]) -> Vec<Mark> {
    let mark =
        |(index, &(text, family, lane, label)): (usize, &(&str, MarkFamily, Option<usize>, &str))| Mark {
            number: u32::try_from(index).unwrap() + 1,
            at: at(text),
            bounds: None,
            order_only: false,
            family,
            lane,
            label: label.to_owned(),
        };
    list.iter().enumerate().map(mark).collect()
}

fn bracket(label: &str, [began, recognised, responded, controlled]: [&str; 4]) -> Bracket {
    let moment = |text: &str| (!text.is_empty()).then(|| at(text));
    let length = |text: &str| {
        let (from, to) = (moment(began)?, moment(text)?);
        Some(DurationWords::of(to.seconds() - from.seconds()).to_string())
    };
    Bracket {
        label: label.to_owned(),
        began: moment(began),
        recognised: moment(recognised),
        responded: moment(responded),
        controlled: moment(controlled),
        to_recognition: length(recognised),
        to_response: length(responded),
        to_control: length(controlled),
    }
}

/// Six events, one vessel.
pub(super) fn small() -> TimelineDrawing {
    TimelineDrawing {
        title: "The LAD was without flow for 38 minutes".to_owned(),
        lanes: vec![lane("LAD", 0, &[("-2", 3), ("12:30", 0), ("41", 2), ("50:10", 3)])],
        marks: marks(&[
            ("-2", See, Some(0), "First injection"),
            ("0", Reach, Some(0), "Workhorse wire into the LAD"),
            ("9:30", Treat, Some(0), "Balloon 2.0 mm"),
            ("12:30", See, Some(0), "No flow beyond the bend"),
            ("33", Reach, Some(0), "True lumen regained"),
            ("50:10", Treat, Some(0), "Stent, TIMI 3"),
        ]),
        brackets: vec![bracket("Vessel closure", ["12:30", "13:10", "", "50:10"])],
        veil_from: None,
    }
}

/// Twenty events, two vessels and two branches, three complications in a chain.
pub(super) fn full() -> TimelineDrawing {
    TimelineDrawing {
        title: "A wire dissection closed the LAD, and its stenting lost the first diagonal".to_owned(),
        lanes: vec![
            lane("LAD", 0, &[("-4", 3), ("12:30", 1), ("14", 0), ("41", 2), ("50:10", 3)]),
            lane("D1", 1, &[("-4", 3), ("31", 2), ("46", 0), ("62", 1), ("71", 2)]),
            lane("D2", 1, &[("-4", 2)]),
            lane("LCx", 0, &[("-4", 3), ("55", 2), ("60", 3)]),
        ],
        marks: marks(&[
            ("-4", See, Some(0), "First injection"),
            ("-2", Give, None, "Heparin 5,000 units"),
            ("0", Reach, Some(0), "Wire into the LAD"),
            ("3", Reach, Some(1), "Wire into D1"),
            ("9:30", Treat, Some(0), "Balloon 2.0 mm"),
            ("12:30", See, Some(0), "TIMI 1 beyond the bend"),
            ("13", Patient, None, "Chest pain"),
            ("14", See, Some(0), "TIMI 0"),
            ("15", Decide, None, "Keep the wire, or recross?"),
            ("16:30", Rescue, None, "Second operator called"),
            ("18", Patient, None, "82/50 mmHg"),
            ("19", Give, None, "Noradrenaline"),
            ("24", Reach, Some(0), "Dual-lumen catheter"),
            ("33", Reach, Some(0), "True lumen regained"),
            ("41", Treat, Some(0), "Balloon, TIMI 2"),
            ("46", Treat, Some(0), "Stent over D1"),
            ("46:30", See, Some(1), "D1 lost"),
            ("50:10", See, Some(0), "TIMI 3"),
            ("62", Treat, Some(1), "Balloon through the struts"),
            ("71", See, Some(1), "D1 TIMI 2"),
        ]),
        brackets: vec![
            bracket("Wire dissection", ["9:30", "12:30", "15", "50:10"]),
            bracket("Closure of the LAD", ["12:30", "14", "14", "50:10"]),
            bracket("Loss of D1", ["46", "46:30", "", ""]),
        ],
        veil_from: None,
    }
}

/// Forty-five events in clusters, many uncertain, with a long tail and everything missing that can be.
pub(super) fn ugly() -> TimelineDrawing {
    let certainties = [
        Certainty::Exact,
        Certainty::within(4).unwrap(),
        Certainty::Exact,
        Certainty::OrderOnly,
        Certainty::within(12).unwrap(),
    ];
    let mut seconds = -420;
    let mut marks: Vec<Mark> = (0..42_usize)
        .map(|index| {
            seconds += [20, 15, 0, 40, 30, 10, 300, 60, 420][index % 9];
            let (moment, certainty) = (Offset::from_seconds(seconds).unwrap(), certainties[index % 5]);
            Mark {
                number: u32::try_from(index).unwrap() + 1,
                at: moment,
                bounds: certainty.bounds(moment),
                order_only: certainty == Certainty::OrderOnly,
                family: MarkFamily::ALL[index * 5 % 7],
                lane: (index % 3 == 0).then_some(index % 6),
                label: format!("Event {} of a long case <b>&\"'", index + 1),
            }
        })
        .collect();
    for (number, text) in [(43, "6h"), (44, "6h20"), (45, "2 d")] {
        marks.push(Mark {
            number,
            at: at(text),
            bounds: Certainty::within(30).unwrap().bounds(at(text)),
            order_only: false,
            family: Patient,
            lane: None,
            label: "Late".to_owned(),
        });
    }
    let mut broken = lane("Posterolateral branch of the right coronary artery", 0, &[("10", 3), ("60", 3)]);
    broken.sights.insert(1, LaneSight { at: at("40"), flow: None, bounds: None });
    let mut uncertain =
        lane("LAD", 0, &[("-4", 3), ("12:30", 0), ("20", 1), ("21", 0), ("30", 2), ("44", 3), ("6h", 3)]);
    uncertain.sights[1].bounds = Certainty::within(3).unwrap().bounds(at("12:30"));
    TimelineDrawing {
        title: "Ninety minutes in which nothing went as planned <&>".to_owned(),
        lanes: vec![
            lane("Left main", 0, &[("0", 3), ("35", 2), ("50", 3)]),
            uncertain,
            lane("Diagonal 1", 1, &[("5", 3), ("40", 0)]),
            lane("Septal", 1, &[("12", 1), ("45", 0)]),
            broken,
            lane("", 0, &[]),
        ],
        marks,
        brackets: vec![
            bracket("Wire dissection of the proximal LAD", ["5", "12:30", "10", "44"]),
            bracket("Closure", ["12:30", "12:30", "20", "44"]),
            bracket("Loss of diagonal 1", ["40", "", "45", ""]),
            bracket("Perforation by a distal wire", ["", "50", "40", "80"]),
            bracket("Late effusion", ["3h", "6h", "6h10", "6h20"]),
            bracket("Contrast-related kidney injury", ["60", "2 d", "", ""]),
            bracket("Nothing known", ["", "", "", ""]),
        ],
        veil_from: None,
    }
}
