//! What is left of a picture file of which only the picture is wanted, as exiftool and Pillow see it.

use std::path::Path;

use relook::picture::bare::bare;

use super::{MARK, exiftool, holds, made, python};

/// Groups in which exiftool tells of the file and of how its pixels are packed, coloured and shown.
const OF_THE_PICTURE: [&str; 9] =
    ["File", "System", "ExifTool", "Composite", "PNG", "PNG-pHYs", "GIF", "JFIF", "Adobe"];
/// Tags of such a group that tell more.
const TELLING: [&str; 7] = ["comment", "description", "artist", "gps", "title", "thumbnail", "software"];

/// What exiftool says of a file beside that, and beside how the camera was held.
fn beside(path: &Path) -> Vec<String> {
    let told = exiftool(&["-G1", "-s", "-a", "-u", "-ee"], path);
    let lines = told.lines().map(|line| line.split_whitespace().collect::<Vec<_>>().join(" "));
    lines
        .filter(|line| {
            let (group, rest) = line.trim_start_matches('[').split_once("] ").unwrap_or(("", line));
            let tag = rest.split(':').next().unwrap_or_default().trim().to_lowercase();
            let tells = TELLING.iter().any(|word| tag.contains(word));
            let of_its_colours = group.starts_with("ICC");
            let is_held = group == "IFD0" && tag == "orientation";
            !of_its_colours && (tells || !(is_held || OF_THE_PICTURE.contains(&group)))
        })
        .collect()
}

#[test]
fn only_the_picture_is_left_and_it_looks_the_same() {
    let (_folder, made) = made();
    let names = [
        "all.png",
        "all.jpg",
        "turned.jpg",
        "placed.jpg",
        "placed.png",
        "progressive.jpg",
        "running.gif",
        "four-inks.jpg",
        "mode-1.png",
        "mode-P.png",
        "mode-LA.png",
        "mode-RGBA.png",
        "mode-I-16.png",
    ];
    let mut telling = 0;
    for name in names {
        let path = made.join(name);
        exiftool(
            &[
                "-overwrite_original",
                "-Comment=ZQTOLLAND comment",
                "-XMP-dc:Title=ZQTOLLAND title",
                "-IPTC:By-line=ZQTOLLAND",
            ],
            &path,
        );
        let mut sent = std::fs::read(&path).unwrap();
        assert!(holds(&sent, MARK.as_bytes()), "{name}: nothing to take away");
        telling += beside(&path).len();
        sent.extend_from_slice(MARK.as_bytes());
        let kept = bare(&sent).unwrap_or_else(|| panic!("{name} is no picture"));
        let place = made.join(format!("bare-{name}"));
        std::fs::write(&place, &kept.bytes).unwrap();
        assert!(!holds(&kept.bytes, MARK.as_bytes()), "{name}");
        assert_eq!(beside(&place), Vec::<String>::new(), "{name}");
        assert_eq!(exiftool(&["-s3", "-MIMEType"], &place).trim(), kept.media_type, "{name}");
        assert_eq!(exiftool(&["-s3", "-Warning", "-Error"], &place).trim(), "", "{name}");
        let look = |path: &Path| python(&["look", path.to_str().unwrap()]);
        assert!(look(&place) == look(&path), "{name} looks different");
        assert_eq!(bare(&kept.bytes).unwrap(), kept, "{name}: nothing more to take away");
    }
    assert!(telling > 40, "exiftool told {telling} things of the files as they came");
}
