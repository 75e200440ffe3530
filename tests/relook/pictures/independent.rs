//! What is kept of a file, read by exiftool, Pillow and pydicom.

use std::path::PathBuf;

use relook::picture::{Channels, Refused, read};

use super::{MARK, bring, brought, exiftool, holds, keep, made, new_path, python, samples, told};
use crate::support::{CaseBuilder, StatusCode, TestApp};

/// What exiftool may say of a PNG that holds nothing but its pixels: about the file, and its header.
fn only_pixels(told: &str) -> bool {
    told.lines().filter(|line| !line.trim().is_empty()).all(|line| {
        ["[ExifTool]", "[File]", "[Composite]"].iter().any(|group| line.starts_with(group))
            || [
                "Image Width",
                "Image Height",
                "Bit Depth",
                "Color Type",
                "Compression",
                "Filter",
                "Interlace",
            ]
            .iter()
            .any(|name| line.starts_with("[PNG]") && line.contains(name))
    })
}

#[tokio::test]
async fn nothing_beside_the_pixels_of_a_png_or_a_jpeg_is_kept() {
    let app = TestApp::init().await;
    let fellow = app.with_fellow().await;
    let code = CaseBuilder::new("Branch lost").complete().insert(&app).await.code;
    let (_folder, made) = made();
    // IPTC and XMP as picture programs write them.
    let written = exiftool(
        &[
            "-overwrite_original",
            "-IPTC:Caption-Abstract=ZQTOLLAND iptc",
            "-IPTC:By-line=ZQTOLLAND",
            "-XMP-dc:Title=ZQTOLLAND title",
            "-GPSLatitude=52",
        ],
        &made.join("all.jpg"),
    );
    assert!(written.contains("1 image files updated"), "{written}");
    for (name, kinds) in [
        ("all.png", &["text", "EXIF", "a time", "a colour profile", "a resolution"][..]),
        ("all.jpg", &["EXIF", "XMP", "IPTC", "a colour profile", "a comment"]),
        ("turned.jpg", &["EXIF"]),
    ] {
        let file = made.join(name);
        let before = exiftool(&["-G", "-a", "-u"], &file);
        assert!(before.contains(MARK) && !only_pixels(&before), "{name} holds nothing to lose: {before}");
        let bytes = std::fs::read(&file).unwrap();
        let editor = brought(&fellow, code, &bytes).await;
        let page = fellow.get(&editor).await;
        for kind in kinds {
            assert!(page.text.contains(kind), "{name}: {kind} is not told: {}", page.text);
        }
        let png = keep(&app, &fellow, code, &bytes, "").await;
        let kept = made.join(format!("kept-{name}.png"));
        std::fs::write(&kept, &png).unwrap();
        let after = exiftool(&["-G", "-a", "-u"], &kept);
        assert!(only_pixels(&after), "{name}: {after}");
        assert_eq!(told(&["beside", kept.to_str().unwrap()]), "", "{name}");
        assert!(!holds(&png, MARK.as_bytes()), "{name}");
        // The pixels are those that Pillow sees.
        let (ours, theirs) =
            (python(&["pixels", kept.to_str().unwrap()]), python(&["pixels", file.to_str().unwrap()]));
        assert_near(&ours, &theirs, if name.ends_with("png") { 0 } else { 4 }, name);
    }
    assert!(!holds(&app.file_bytes(), MARK.as_bytes()), "the database holds the mark");
    assert!(!holds(&app.file_bytes(), b"TOLLAND_MAUD"), "the database holds the file's name");
}

/// Two rows of bytes that differ by no more than so much. Decoders of JPEG may round otherwise.
fn assert_near(ours: &[u8], theirs: &[u8], most: u8, what: &str) {
    assert_eq!(ours.len(), theirs.len(), "{what}");
    let worst = ours.iter().zip(theirs).map(|(a, b)| a.abs_diff(*b)).max().unwrap();
    assert!(worst <= most, "{what}: {worst} apart");
}

#[test]
fn every_kind_of_png_and_jpeg_has_the_pixels_that_pillow_sees() {
    let (_folder, made) = made();
    for (name, most) in [("mode-1.png", 0), ("mode-P.png", 0), ("progressive.jpg", 4), ("all.jpg", 4)] {
        let file = made.join(name);
        let frame = read(std::fs::read(&file).unwrap()).unwrap().source.frame(0).unwrap();
        assert_near(frame.data(), &python(&["pixels", file.to_str().unwrap()]), most, name);
    }
    // Sixteen bits become eight, and what is transparent becomes paper: read, and of the right size.
    for name in ["mode-I-16.png", "mode-LA.png", "mode-RGBA.png"] {
        let frame = read(std::fs::read(made.join(name)).unwrap()).unwrap().source.frame(0).unwrap();
        assert_eq!((frame.width(), frame.height()), (96, 64), "{name}");
    }
}

/// Public sample files that pydicom ships, with their frames, and runs that pydicom wrote.
const SAMPLES: [(&str, &[u32], u8); 12] = [
    ("CT_small.dcm", &[0], 1),
    ("MR_small.dcm", &[0], 1),
    ("MR_small_implicit.dcm", &[0], 1),
    ("MR_small_bigendian.dcm", &[0], 1),
    ("MR_small_RLE.dcm", &[0], 1),
    ("SC_rgb_small_odd.dcm", &[0], 0),
    ("SC_rgb_small_odd_big_endian.dcm", &[0], 0),
    ("SC_rgb_rle.dcm", &[0], 0),
    ("SC_rgb_rle_2frame.dcm", &[0, 1], 0),
    ("examples_rgb_color.dcm", &[0], 0),
    ("SC_rgb_jpeg_dcmtk.dcm", &[0], 6),
    ("SC_rgb_small_odd_jpeg.dcm", &[0], 6),
];

/// Frames of files, and by how much a byte may differ.
fn compare(frames: &[(PathBuf, u32, u8)]) {
    let asked: Vec<String> =
        frames.iter().flat_map(|(file, frame, _)| [file.display().to_string(), frame.to_string()]).collect();
    let arguments: Vec<&str> = std::iter::once("grey").chain(asked.iter().map(String::as_str)).collect();
    let told = python(&arguments);
    let mut left = told.as_slice();
    for (file, frame, most) in frames {
        let (length, rest) = left.split_at(8);
        let (theirs, rest) =
            rest.split_at(usize::try_from(u64::from_be_bytes(length.try_into().unwrap())).unwrap());
        left = rest;
        let name = format!("{}, frame {frame}", file.display());
        let brought = read(std::fs::read(file).unwrap()).unwrap_or_else(|why| panic!("{name}: {why}"));
        let ours = brought.source.frame(*frame).unwrap_or_else(|why| panic!("{name}: {why}"));
        assert_near(ours.data(), theirs, *most, &name);
    }
    assert!(left.is_empty());
}

#[test]
fn frames_have_the_pixels_that_pydicom_and_numpy_see() {
    let samples = samples();
    let (_folder, made) = made();
    let shipped = SAMPLES.iter().map(|(name, frames, most)| (samples.join(name), *frames, *most));
    let runs = [
        ("run.dcm", &[0, 5, 11][..], 0),
        ("run-white-first.dcm", &[0, 11], 0),
        ("run-12.dcm", &[0, 2], 1),
        ("run-rle.dcm", &[0, 7, 11], 0),
        ("still-12-rle.dcm", &[0], 1),
    ];
    let written = runs.into_iter().map(|(name, frames, most)| (made.join(name), frames, most));
    let frames: Vec<(PathBuf, u32, u8)> = shipped
        .chain(written)
        .flat_map(|(file, frames, most)| frames.iter().map(move |frame| (file.clone(), *frame, most)))
        .collect();
    assert!(frames.len() > 20, "{}", frames.len());
    compare(&frames);
}

/// JPEG without loss, as angiography is kept, gives what the same picture gives in RLE (both are pydicom's samples
/// of one test picture).
#[test]
fn jpeg_without_loss_is_read() {
    let samples = samples();
    let frame =
        |name: &str| read(std::fs::read(samples.join(name)).unwrap()).unwrap().source.frame(0).unwrap();
    let (lossless, twin) = (frame("SC_rgb_jpeg_gdcm.dcm"), frame("SC_rgb_rle.dcm"));
    assert_eq!(lossless.channels(), Channels::Colour);
    assert_near(lossless.data(), twin.data(), 0, "SC_rgb_jpeg_gdcm.dcm");
}

#[tokio::test]
async fn no_identifier_of_a_dicom_file_is_kept_anywhere() {
    let app = TestApp::init().await;
    let fellow = app.with_fellow().await;
    let code = CaseBuilder::new("Branch lost").complete().insert(&app).await.code;
    let (_folder, made) = made();
    let samples = samples();
    let mut looked_for = 0;
    for file in [
        made.join("run.dcm"),
        made.join("run-rle.dcm"),
        samples.join("CT_small.dcm"),
        samples.join("MR_small.dcm"),
        samples.join("SC_rgb_rle_2frame.dcm"),
        samples.join("examples_rgb_color.dcm"),
    ] {
        let bytes = std::fs::read(&file).unwrap();
        let png = keep(&app, &fellow, code, &bytes, "1").await;
        let kept = made.join("kept.png");
        std::fs::write(&kept, &png).unwrap();
        assert!(only_pixels(&exiftool(&["-G", "-a", "-u"], &kept)), "{}", file.display());
        let database = app.file_bytes();
        let texts = told(&["identifying", file.to_str().unwrap()]);
        // A short text, or one of the same digit, stands in any file by chance.
        let tells = |text: &&str| {
            text.len() >= 8 && text.chars().collect::<std::collections::BTreeSet<_>>().len() >= 4
        };
        for text in texts.lines().filter(tells) {
            assert!(holds(&bytes, text.as_bytes()), "{text} does not stand in {}", file.display());
            assert!(!holds(&database, text.as_bytes()), "{}: the database holds {text}", file.display());
            looked_for += 1;
        }
    }
    assert!(looked_for > 60, "{looked_for}");
}

#[tokio::test]
async fn identifying_attributes_are_listed_by_name_and_never_by_value() {
    let app = TestApp::init().await;
    let fellow = app.with_fellow().await;
    let code = CaseBuilder::new("Branch lost").complete().insert(&app).await.code;
    let (_folder, made) = made();
    let editor = brought(&fellow, code, &std::fs::read(made.join("run.dcm")).unwrap()).await;
    let page = fellow.get(&editor).await;
    for name in [
        "Patient's Name",
        "Patient ID",
        "Patient's Birth Date",
        "Study Date",
        "Institution Name",
        "Accession Number",
        "Referring Physician's Name",
        "Device Serial Number",
        "Study Instance UID",
        // Inside a sequence.
        "Requested Procedure Description",
    ] {
        assert!(page.text.contains(name), "{name} is not listed: {}", page.text);
    }
    assert!(page.text.contains("a run of 12 frames"));
    assert!(page.text.contains("private attributes"));
    assert!(page.text.contains("says that no writing is burnt"));
    assert!(!page.html.contains(MARK), "a value is shown");
    // How the tube stood is no identifier, and is offered.
    super::burn(&fellow, &editor, "3", &[]).await.expect(StatusCode::SEE_OTHER);
    assert_eq!(fellow.get(&format!("{editor}/look")).await.value("view"), "RAO 30 caudal 20");
}

#[tokio::test]
async fn what_is_not_read_is_refused_with_a_way_out() {
    let app = TestApp::init().await;
    let fellow = app.with_fellow().await;
    let code = CaseBuilder::new("Branch lost").complete().insert(&app).await.code;
    let samples = samples();
    for (name, words) in [
        ("JPEG2000.dcm", "JPEG 2000"),
        ("MR_small_jpeg_ls_lossless.dcm", "JPEG-LS"),
        ("image_dfl.dcm", "deflated"),
        ("examples_palette.dcm", "PALETTE COLOR"),
        ("rtplan.dcm", "no picture"),
        ("rtdose.dcm", "32 bits"),
        ("MR_truncated.dcm", "Export it again"),
        ("no_meta.dcm", "This is no PNG, JPEG or DICOM"),
    ] {
        let page = bring(&fellow, &new_path(code), &std::fs::read(samples.join(name)).unwrap()).await;
        page.expect(StatusCode::UNPROCESSABLE_ENTITY);
        assert!(page.text.contains(words), "{name}: {}", page.text);
    }
    assert!(matches!(
        read(std::fs::read(samples.join("JPGExtended.dcm")).unwrap()).map(|b| b.source.frame(0)),
        Ok(Err(_)) | Err(Refused::Coding { .. })
    ));
    assert!(app.case(code).await.pictures.is_empty());
}
