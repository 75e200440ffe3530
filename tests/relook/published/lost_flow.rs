//! Time without flow in one vessel, our own measure, beside the worked rows of its definition:
//! from the first TIMI 0 or 1 to the next TIMI 3, partial at TIMI 2, the longest possible from the
//! last earlier TIMI 2 or 3, never summed over vessels (D).

use relook::case::reading::{Reading, VesselFlow};
use relook::case::{Case, Row};

/// Minute and grade in the LAD; a minute alone is an event that shows no flow.
fn vessel(looks: &[(u32, Option<u8>)]) -> VesselFlow {
    let events: String = (1..)
        .zip(looks)
        .map(|(number, (minute, grade))| {
            let number: u32 = number;
            let grade =
                grade.map_or_else(String::new, |grade| format!("segment = \"lad-mid\"\nflow = {grade}\n"));
            format!("[[events]]\nkey = \"e{number}\"\nat = \"+{minute}:00\"\nkind = \"flow\"\n{grade}")
        })
        .collect();
    read(&events)
}

fn read(events: &str) -> VesselFlow {
    let head = "format = 1\ntitle = \"t\"\nmonth = \"2025-03\"\nstage = \"recorded\"\n";
    let case: Case = toml::from_str(&format!("{head}{events}")).unwrap();
    let rows: Vec<Row<_>> = (1..).zip(case.events).map(|(id, value)| Row { id, value }).collect();
    Reading::of(&rows, &[]).vessels()[0].clone()
}

const fn look(minute: u32, grade: u8) -> (u32, Option<u8>) {
    (minute, Some(grade))
}

fn minutes(elapsed: Option<relook::timeline::Elapsed>) -> Option<i64> {
    elapsed.and_then(relook::timeline::Elapsed::stated).map(|seconds| seconds / 60)
}

#[test]
fn one_episode_runs_from_the_loss_to_timi_3() {
    let flow = vessel(&[look(0, 3), look(12, 0), look(20, 2), look(27, 3)]);
    let episodes = flow.history.episodes();
    assert_eq!(episodes.len(), 1);
    assert_eq!(minutes(episodes[0].lost_for()), Some(15));
    assert_eq!(minutes(episodes[0].to_partial()), Some(8));
    assert_eq!(minutes(episodes[0].longest_possible()), Some(27));
}

#[test]
fn two_episodes_are_summed() {
    let flow = vessel(&[look(0, 3), look(10, 1), look(14, 3), look(30, 0), look(41, 3)]);
    let lost: Vec<_> = flow.history.episodes().iter().map(|episode| minutes(episode.lost_for())).collect();
    assert_eq!(lost, [Some(4), Some(11)]);
    assert_eq!(minutes(flow.total().elapsed), Some(15));
    assert_eq!(flow.total().to_string(), "15 min in 2 episodes");
}

#[test]
fn an_episode_without_timi_3_is_open_until_the_last_event() {
    let flow = vessel(&[look(0, 3), look(10, 0), look(25, 2), (60, None)]);
    let episode = flow.history.episodes()[0];
    assert!(!episode.is_restored());
    assert_eq!(minutes(episode.lost_for()), Some(50));
    assert_eq!(minutes(episode.to_partial()), Some(15));
    assert_eq!(flow.total().to_string(), "at least 50 min, not restored");
}

#[test]
fn timi_2_alone_is_no_loss() {
    let flow = vessel(&[look(0, 3), look(5, 2), look(9, 3)]);
    assert!(flow.history.episodes().is_empty());
    assert_eq!(flow.total().to_string(), "none");
}

#[test]
fn a_loss_at_an_unknown_time_has_no_stated_length() {
    let event = |key: &str, at: u32, time: &str, grade: u8| {
        format!(
            "[[events]]\nkey = \"{key}\"\nat = \"+{at}:00\"\n{time}kind = \"flow\"\nsegment = \"lad-mid\"\nflow = {grade}\n"
        )
    };
    let events =
        [event("a", 0, "", 3), event("b", 5, "time = \"order only\"\n", 0), event("c", 20, "", 3)].concat();
    let episode = read(&events).history.episodes()[0];
    let lost = episode.lost_for().unwrap();
    assert_eq!(lost.stated(), None);
    assert_eq!((lost.shortest(), lost.longest()), (0, 20 * 60));
}
