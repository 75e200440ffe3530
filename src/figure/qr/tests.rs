use proptest::prelude::*;

use super::*;
use crate::figure::testing::{check_examples, check_figure, column, points, with_class};

/// The modules of a drawn code with its quiet zone, row by row, read back from its path: a
/// rectangle covers what lies between its corners.
fn modules(figure: &Figure) -> Vec<Vec<bool>> {
    let drawn = check_figure(figure);
    let side = whole(drawn[0].num("width"));
    let mut modules = vec![vec![false; side]; side];
    let paths = with_class(&drawn, "code-dark");
    assert_eq!(paths.len(), 1, "one path");
    for corners in points(paths[0]).chunks(4) {
        let (left, top) = (whole(corners[0].0), whole(corners[0].1));
        let (right, bottom) = (whole(corners[2].0), whole(corners[2].1));
        for row in &mut modules[top..bottom] {
            row[left..right].fill(true);
        }
    }
    modules
}

/// A coordinate in modules.
#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "whole and small")]
fn whole(coordinate: f64) -> usize {
    let modules = coordinate / MODULE;
    assert!((modules - modules.round()).abs() < 1e-9, "{coordinate} is no whole number of modules");
    modules.round() as usize
}

/// What a scanner reads (the decoder of the library rqrr, which shares nothing with the encoder).
fn scanned(figure: &Figure) -> String {
    const PIXELS: usize = 4;
    let modules = modules(figure);
    let side = modules.len() * PIXELS;
    let mut image = rqrr::PreparedImage::prepare_from_greyscale(side, side, |x, y| {
        if modules[y / PIXELS][x / PIXELS] { 0 } else { 255 }
    });
    let grids = image.detect_grids();
    assert_eq!(grids.len(), 1, "one code is found");
    grids[0].decode().unwrap().1
}

#[test]
fn every_example_is_sound_and_always_the_same() {
    let examples = vec![("vote", "http://192.0.2.14:8080/v/7GQ4"), ("one", "a")];
    check_examples(examples, |address| draw("q", address, "vote").unwrap());
}

#[test]
fn a_scanner_reads_the_address_back() {
    for address in [
        "http://192.0.2.14:8080/v/7GQ4",
        "https://relook.example/conference/12/vote?code=otter-lamp-19",
        "HTTPS://RELOOK.EXAMPLE/7",
        "12345678",
        "https://relook.example/abstimmung/übung",
    ] {
        assert_eq!(scanned(&draw("q", address, "vote").unwrap()), address);
    }
}

/// A decoder may forgive a code in a mirror; not every scanner does.
#[test]
fn every_module_is_where_the_encoder_has_it() {
    let address = "http://192.0.2.14:8080/v/7GQ4";
    let code = QrCode::encode_text(address, QrCodeEcc::Medium).unwrap();
    let modules = modules(&draw("q", address, "vote").unwrap());
    for y in 0..code.size() {
        for x in 0..code.size() {
            let at = |module: i32| usize::try_from(module).unwrap() + QUIET;
            assert_eq!(modules[at(y)][at(x)], code.get_module(x, y), "({x}, {y})");
        }
    }
    // The module beside the lower finder that is dark in every code: 8 to the right, 8 from below.
    let size = modules.len() - 2 * QUIET;
    assert!(modules[QUIET + size - 8][QUIET + 8]);
}

#[test]
fn the_quiet_zone_is_four_modules_of_light_on_every_side() {
    let modules = modules(&draw("q", "http://192.0.2.14:8080/v/7GQ4", "vote").unwrap());
    // ISO/IEC 18004 (from memory).
    assert_eq!(QUIET, 4);
    let (first, last) = (4, modules.len() - 4);
    for (y, row) in modules.iter().enumerate() {
        for (x, &dark) in row.iter().enumerate() {
            let inside = (first..last).contains(&x) && (first..last).contains(&y);
            assert!(inside || !dark, "({x}, {y})");
        }
    }
    // The corners of the finder patterns are dark, so the zone is no wider than that.
    assert!(modules[first][first] && modules[first][last - 1] && modules[last - 1][first]);
}

#[test]
fn it_is_dark_on_light_and_says_its_address() {
    let figure = draw("q", " http://192.0.2.14:8080/v/7GQ4 ", "vote").unwrap();
    let drawn = check_figure(&figure);
    assert_eq!(with_class(&drawn, "code-dark")[0].get("fill"), Some("#000000"));
    assert_eq!(with_class(&drawn, "code-light")[0].get("fill"), Some("#ffffff"));
    assert_eq!(with_class(&drawn, "code-light")[0].num("width"), drawn[0].num("width"));
    let words = drawn.iter().find(|d| d.name == "desc").unwrap();
    assert!(words.text.ends_with("which leads to http://192.0.2.14:8080/v/7GQ4"));
    assert_eq!(figure.title, "Scan to vote");
    assert_eq!(column(&figure.table, "Address"), ["http://192.0.2.14:8080/v/7GQ4"]);
    assert_eq!(draw("q", "a", " ").unwrap().title, "Scan to open the page");
}

#[test]
fn what_no_code_can_hold_is_refused_with_a_sentence() {
    assert_eq!(draw("q", "  ", "vote"), Err(QrError::Empty));
    assert_eq!(draw("q", &"a".repeat(2332), "vote"), Err(QrError::TooLong));
    assert!(draw("q", &"a".repeat(2331), "vote").is_ok());
    assert!(QrError::TooLong.to_string().contains("shorter"));
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, cases: 24, ..ProptestConfig::default() })]

    #[test]
    fn any_address_is_read_back(address in "https?://[a-z0-9.-]{1,40}(:[0-9]{2,5})?/[A-Za-z0-9/?=&%-]{0,120}") {
        prop_assert_eq!(scanned(&draw("q", &address, "vote").unwrap()), address);
    }
}
