//! Files that nobody should send: each is refused with a sentence, without a panic, in a memory that is bounded.

use std::collections::BTreeMap;
use std::panic;
use std::path::Path;
use std::process::Command;
use std::sync::atomic::{AtomicUsize, Ordering};

use relook::picture::{FRAMES, angiogram, encode, read};

use super::{bring, made, new_path};
use crate::support::{CaseBuilder, StatusCode, TestApp};
use crate::trust::{Chance, from_environment};

/// The address space of the process that reads hostile files, in KiB. A picture that believed its header would need
/// 10 to 30 GB.
const ADDRESS_SPACE: u32 = 1_500_000;
/// Names the folder of hostile files to that process.
const FOLDER: &str = "RELOOK_HOSTILE_PICTURES";
const OWN_NAME: &str = "pictures::hostile::hostile_files_are_refused_in_bounded_memory";

/// The check sum of a PNG chunk (ISO/IEC 15948, Annex D).
fn crc(bytes: &[u8]) -> u32 {
    let step = |crc: u32, byte: &u8| {
        (0..8).fold(
            crc ^ u32::from(*byte),
            |crc, _| if crc & 1 == 1 { crc >> 1 ^ 0xedb8_8320 } else { crc >> 1 },
        )
    };
    !bytes.iter().fold(u32::MAX, step)
}

fn chunk(kind: &[u8; 4], content: &[u8]) -> Vec<u8> {
    let body = [kind.as_slice(), content].concat();
    let length = u32::try_from(content.len()).unwrap().to_be_bytes();
    [&length[..], &body, &crc(&body).to_be_bytes()[..]].concat()
}

/// A PNG of this size with this packed content.
fn png(width: u32, height: u32, packed: &[u8]) -> Vec<u8> {
    let header = [&width.to_be_bytes()[..], &height.to_be_bytes()[..], &[8, 0, 0, 0, 0]].concat();
    [b"\x89PNG\r\n\x1a\n".to_vec(), chunk(b"IHDR", &header), chunk(b"IDAT", packed), chunk(b"IEND", b"")]
        .concat()
}

/// Nothing but zeros, many times over (RFC 1950, 1951): two bits for 258 bytes, so that a megabyte unpacks to a
/// gigabyte.
fn zeros(bytes: usize) -> Vec<u8> {
    let mut packed = vec![0x78, 0x01];
    // A last block with fixed codes: a literal 0 (8 bits 00110000), then length 258 (11000101) at distance 1 (00000).
    let mut bits: Vec<bool> = vec![true, true, false];
    let mut push = |code: &str| bits.extend(code.chars().map(|c| c == '1'));
    push("00110000");
    for _ in 0..bytes / 258 {
        push("11000101");
        push("00000");
    }
    push("0000000");
    packed.extend(
        bits.chunks(8)
            .map(|eight| eight.iter().enumerate().fold(0_u8, |byte, (at, bit)| byte | u8::from(*bit) << at)),
    );
    packed.extend([0, 0, 0, 0]);
    packed
}

/// An element of a DICOM file, explicit little endian.
fn element(group: u16, number: u16, representation: &[u8; 2], value: &[u8]) -> Vec<u8> {
    let mut bytes = [group.to_le_bytes(), number.to_le_bytes(), *representation].concat();
    if matches!(representation, b"OB" | b"OW" | b"SQ" | b"UN") {
        bytes.extend([0, 0]);
        bytes.extend(u32::try_from(value.len()).unwrap().to_le_bytes());
    } else {
        bytes.extend(u16::try_from(value.len()).unwrap().to_le_bytes());
    }
    bytes.extend(value);
    bytes
}

/// A DICOM file of this size that says it has so many frames, and holds this content.
fn dicom(rows: u16, columns: u16, frames: &str, rest: &[u8]) -> Vec<u8> {
    let mut bytes = vec![0; 128];
    bytes.extend(b"DICM");
    bytes.extend(element(2, 0x10, b"UI", b"1.2.840.10008.1.2.1\0"));
    for (number, value) in
        [(2, 1_u16), (0x10, rows), (0x11, columns), (0x100, 8), (0x101, 8), (0x102, 7), (0x103, 0)]
    {
        if number == 0x10 {
            bytes.extend(element(0x28, 4, b"CS", b"MONOCHROME2 "));
            bytes.extend(element(0x28, 8, b"IS", frames.as_bytes()));
        }
        bytes.extend(element(0x28, number, b"US", &value.to_le_bytes()));
    }
    bytes.extend(rest);
    bytes
}

/// Hostile files with a part of the sentence that refuses each.
fn hostile() -> Vec<(&'static str, Vec<u8>, &'static str)> {
    let good_png = encode(&angiogram(true)).unwrap();
    let (_folder, made) = made();
    let good_jpeg = std::fs::read(made.join("progressive.jpg")).unwrap();
    let mut wide_jpeg = good_jpeg.clone();
    let at = wide_jpeg.windows(2).position(|two| two == [0xff, 0xc2]).unwrap();
    wide_jpeg[at + 5..at + 9].copy_from_slice(&[0xff, 0xff, 0xff, 0xff]);
    let declared = |length: u32| {
        let mut bytes = element(0x7fe0, 0x10, b"OB", b"");
        let end = bytes.len();
        bytes[end - 4..].copy_from_slice(&length.to_le_bytes());
        bytes
    };
    // Sequences in sequences, each of unknown length.
    let nest: Vec<u8> = (0..200_000)
        .flat_map(|_| {
            let mut opened = [0x40, 0, 0x75, 0x02, b'S', b'Q', 0, 0, 0xff, 0xff, 0xff, 0xff].to_vec();
            opened.extend([0xfe, 0xff, 0x00, 0xe0, 0xff, 0xff, 0xff, 0xff]);
            opened
        })
        .collect();
    // An end of an item, and then an item, where there is no sequence.
    let stray = [&[0xfe, 0xff, 0x0d, 0xe0, 0, 0, 0, 0][..], &[0xfe, 0xff, 0x00, 0xe0, 0, 0, 0, 0]].concat();
    vec![
        ("empty", Vec::new(), "empty"),
        ("huge.png", png(100_000, 100_000, &zeros(1000)), "100000 × 100000"),
        ("bomb.png", png(4096, 4096, &zeros(900_000_000)), ""),
        ("short-for-its-size.png", png(4096, 4096, &zeros(1000)), "damaged"),
        ("small-with-bomb.png", png(8, 8, &zeros(900_000_000)), ""),
        ("no-width.png", png(0, 4, &zeros(1000)), "no width"),
        ("with-a-page.png", [&good_png[..], b"<script>alert(1)</script>"].concat(), "Something else follows"),
        (
            "with-a-page.jpg",
            [&good_jpeg[..], b"<html><script>alert(1)</script>"].concat(),
            "Something else follows",
        ),
        ("with-a-zip.jpg", [&good_jpeg[..], b"PK\x03\x04\x14\0\0\0"].concat(), "Something else follows"),
        ("wide.jpg", wide_jpeg, "65535 × 65535"),
        ("drawing.png", b"<svg xmlns=\"http://www.w3.org/2000/svg\"><script/></svg>".to_vec(), "a drawing"),
        ("page.png", b"<!doctype html><script>alert(1)</script>".to_vec(), "a web page"),
        ("film.png", b"GIF89a\x01\0\x01\0\0\0\0;".to_vec(), "a GIF"),
        (
            "frames.dcm",
            dicom(512, 512, "2000000000", &element(0x7fe0, 0x10, b"OB", &[0; 64])),
            &*Box::leak(format!("At most {FRAMES}").into_boxed_str()),
        ),
        ("many-frames.dcm", dicom(512, 512, "1999", &element(0x7fe0, 0x10, b"OB", &[0; 64])), "holds fewer"),
        ("no-frames.dcm", dicom(512, 512, "-1", &element(0x7fe0, 0x10, b"OB", &[0; 64])), "-1 frames"),
        ("large.dcm", dicom(65_535, 65_535, "1", &element(0x7fe0, 0x10, b"OB", &[0; 64])), "65535 × 65535"),
        ("length.dcm", dicom(512, 512, "1", &declared(0xffff_fff0)), "damaged"),
        ("nest.dcm", dicom(512, 512, "1", &nest), "damaged"),
        ("stray.dcm", dicom(512, 512, "1", &stray), "damaged"),
        ("bare.dcm", dicom(512, 512, "1", b""), "no picture"),
    ]
}

/// The test runs itself in a process of little memory, which would be ended if a file were believed.
#[test]
fn hostile_files_are_refused_in_bounded_memory() {
    if let Some(folder) = std::env::var_os(FOLDER) {
        for entry in std::fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            let name = path.file_name().unwrap().to_string_lossy().into_owned();
            let said = match read(std::fs::read(&path).unwrap()) {
                Ok(brought) => format!("taken, {} bytes", brought.source.bytes()),
                Err(refused) => refused.to_string(),
            };
            println!("said:{name}:{said}");
        }
        return;
    }
    let folder = tempfile::tempdir().unwrap();
    let files = hostile();
    for (name, bytes, _) in &files {
        std::fs::write(folder.path().join(name), bytes).unwrap();
    }
    let done = Command::new("sh")
        .args([
            "-c",
            &format!(
                "ulimit -v {ADDRESS_SPACE}; exec \"$0\" --exact {OWN_NAME} --nocapture --test-threads 1"
            ),
        ])
        .arg(std::env::current_exe().unwrap())
        .env(FOLDER, folder.path())
        .output()
        .unwrap();
    let out = String::from_utf8_lossy(&done.stdout).into_owned();
    let errors = String::from_utf8_lossy(&done.stderr);
    assert!(done.status.success(), "{out}\n{errors}");
    assert!(!errors.contains("panicked"), "{errors}");
    let said: BTreeMap<&str, &str> =
        out.lines().filter_map(|line| line.split_once("said:")?.1.split_once(':')).collect();
    for (name, _, words) in &files {
        let told = said.get(name).unwrap_or_else(|| panic!("{name} was not read: {out}"));
        assert!(told.contains(words), "{name}: {told}");
        // A bomb is taken for no more than the pixels that its header says, or refused.
        if let Some(bytes) = told.strip_prefix("taken, ") {
            let bytes: usize = bytes.trim_end_matches(" bytes").parse().unwrap();
            assert!(name.contains("bomb") && bytes <= 1600 * 1600, "{name} is taken: {told}");
        }
    }
}

#[tokio::test]
async fn a_hostile_file_comes_back_as_a_page_with_a_sentence() {
    let app = TestApp::init().await;
    let fellow = app.with_fellow().await;
    let code = CaseBuilder::new("Branch lost").complete().insert(&app).await.code;
    for (name, bytes, words) in hostile().into_iter().filter(|(name, ..)| !name.contains("bomb")) {
        let page = bring(&fellow, &new_path(code), &bytes).await;
        page.expect(StatusCode::UNPROCESSABLE_ENTITY);
        assert!(page.text.contains(words), "{name}: {}", page.text);
    }
    let large = vec![0xff; 65 * 1024 * 1024];
    let page = bring(&fellow, &new_path(code), &large).await;
    page.expect(StatusCode::UNPROCESSABLE_ENTITY);
    assert!(page.text.contains("larger than 64 megabytes"), "{}", page.text);
    let mut large_png = encode(&angiogram(true)).unwrap();
    large_png.resize(9 * 1024 * 1024, 0);
    let page = bring(&fellow, &new_path(code), &large_png).await;
    assert!(page.text.contains("larger than 8 megabytes"), "{}", page.text);
    // Other addresses keep their own bound.
    let (kind, body) = super::multipart("x", &vec![b'x'; 3 * 1024 * 1024]);
    let page = fellow.post_body(&format!("/cases/{code}/situation"), kind, body).await;
    page.expect(StatusCode::BAD_REQUEST);
    assert!(app.case(code).await.pictures.is_empty());
}

/// Files changed at random: read or refused, and never a panic. `RELOOK_FUZZ=1000000` tries more, `RELOOK_SEED`
/// others.
#[test]
fn changed_files_never_panic() {
    static PANICS: AtomicUsize = AtomicUsize::new(0);
    let own = std::thread::current().id();
    let before = panic::take_hook();
    panic::set_hook(Box::new(move |told| {
        if std::thread::current().id() == own {
            PANICS.fetch_add(1, Ordering::Relaxed);
            eprintln!("{told}");
        } else {
            before(told);
        }
    }));
    let (_folder, made) = made();
    let samples = super::samples();
    let whole: Vec<Vec<u8>> =
        ["all.png", "all.jpg", "progressive.jpg", "turned.jpg", "run.dcm", "run-12.dcm", "run-rle.dcm"]
            .iter()
            .map(|name| made.join(name))
            .chain(
                [
                    "SC_rgb_jpeg_gdcm.dcm",
                    "SC_rgb_small_odd_jpeg.dcm",
                    "nested_priv_SQ.dcm",
                    "MR_small_implicit.dcm",
                ]
                .iter()
                .map(|name| samples.join(name)),
            )
            .map(|path: std::path::PathBuf| std::fs::read(Path::new(&path)).unwrap())
            .collect();
    let mut chance = Chance(from_environment("RELOOK_SEED", 20_261_129));
    let inputs = from_environment("RELOOK_FUZZ", 3_000);
    let (mut taken, mut refused) = (0_u64, 0_u64);
    let mut below = |most: usize| usize::try_from(chance.below(most as u64)).unwrap();
    for turn in 0..inputs {
        let mut bytes = whole[below(whole.len())].clone();
        for _ in 0..=below(6) {
            let at = below(bytes.len());
            match below(5) {
                0 => bytes[at] = u8::try_from(below(256)).unwrap(),
                1 => bytes[at] ^= 1 << below(8),
                2 => bytes.truncate(at.max(1)),
                3 => {
                    let end = (at + below(40)).min(bytes.len());
                    bytes.drain(at..end);
                    bytes.push(0);
                }
                _ => {
                    // Headers stand at the beginning, and decide most.
                    let at = at % 1200.min(bytes.len());
                    bytes[at] = [0, 1, 0x7f, 0x80, 0xff][below(5)];
                }
            }
        }
        match read(bytes).and_then(|brought| brought.source.frame(0)) {
            Ok(_) => taken += 1,
            Err(why) => {
                refused += 1;
                assert!(why.to_string().ends_with('.'), "{why}");
            }
        }
        assert_eq!(PANICS.load(Ordering::Relaxed), 0, "input {turn}");
    }
    let _ = panic::take_hook();
    println!("{inputs} changed files: {taken} read, {refused} refused");
    assert!(taken > 0 && refused > 0);
}
