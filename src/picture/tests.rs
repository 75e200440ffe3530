use super::*;

/// A PNG of this size and these pixels, with chunks before its pixels.
fn png(width: u32, height: u32) -> Vec<u8> {
    let data = (0..width * height).map(|at| u8::try_from(at % 251).unwrap()).collect();
    encode(&Pixels::new(width, height, Channels::Grey, data).unwrap()).unwrap()
}

fn refused(bytes: &[u8]) -> Refused {
    read(bytes.to_vec()).expect_err("refused")
}

#[test]
fn a_png_reads_back_as_it_was_and_is_written_the_same_each_time() {
    let bytes = png(40, 30);
    let brought = read(bytes.clone()).unwrap();
    let frame = brought.source.frame(0).unwrap();
    assert_eq!((frame.width(), frame.height(), frame.channels()), (40, 30, Channels::Grey));
    assert_eq!(encode(&frame).unwrap(), bytes);
    assert!(brought.beside.metadata.is_empty());
}

#[test]
fn a_size_is_refused_before_anything_is_set_aside() {
    let mut bytes = png(4, 4);
    bytes[16..20].copy_from_slice(&100_000_u32.to_be_bytes());
    bytes[20..24].copy_from_slice(&100_000_u32.to_be_bytes());
    assert_eq!(refused(&bytes), Refused::Size { width: 100_000, height: 100_000 });
    bytes[16..20].copy_from_slice(&0_u32.to_be_bytes());
    assert_eq!(refused(&bytes), Refused::NoSize);
}

#[test]
fn a_png_cut_anywhere_and_one_with_something_behind_it_are_refused() {
    let bytes = png(40, 30);
    for end in 0..bytes.len() {
        refused(&bytes[..end]);
    }
    for behind in ["<script>alert(1)</script>", "PK\u{3}\u{4}", "\0"] {
        assert_eq!(refused(&[bytes.as_slice(), behind.as_bytes()].concat()), Refused::MoreBehind("PNG"));
    }
}

#[test]
fn what_a_file_is_its_first_bytes_say() {
    for (bytes, words) in [
        (&b"GIF89a\x01\0\x01\0"[..], "GIF"),
        (b"<svg xmlns=\"http://www.w3.org/2000/svg\"/>", "drawing"),
        (b"<!doctype html><script>alert(1)</script>", "web page"),
        (b"%PDF-1.7", "PDF"),
        (b"PK\x03\x04", "ZIP"),
        (b"RIFF....WEBP", "WebP"),
        (b"just words", "export it"),
        (b"\0\0\0\x18ftypheic", "telephone"),
    ] {
        let said = refused(bytes).to_string();
        assert!(said.starts_with("This is no PNG, JPEG or DICOM file") && said.contains(words), "{said}");
    }
    assert_eq!(refused(b""), Refused::Empty);
}

#[test]
fn what_is_burnt_out_is_of_one_colour() {
    for channels in [Channels::Grey, Channels::Colour] {
        let data = (0..50 * 40 * channels.bytes()).map(|at| u8::try_from(at * 7 % 256).unwrap()).collect();
        let was = Pixels::new(50, 40, channels, data).unwrap();
        let mut now = was.clone();
        // 2.1 % of 50 is 1.05 pixels: the pixel that it touches goes too.
        now.redact(&[Rectangle::new(21, 250, 400, 500).unwrap()]);
        for y in 0..40 {
            for x in 0..50 {
                let inside = (1..22).contains(&x) && (10..30).contains(&y);
                let at = (y * 50 + x) * channels.bytes();
                let pixel = at..at + channels.bytes();
                if inside {
                    assert!(now.data()[pixel].iter().all(|byte| *byte == pixels::BURNT), "{x}, {y}");
                } else {
                    assert_eq!(now.data()[pixel.clone()], was.data()[pixel], "{x}, {y}");
                }
            }
        }
    }
}

#[test]
fn a_rectangle_lies_within_the_picture() {
    assert_eq!(Rectangle::new(0, 0, 0, 10), Err(RectangleError::Empty));
    assert_eq!(Rectangle::new(900, 0, 101, 10), Err(RectangleError::Beyond));
    assert_eq!(Rectangle::new(0, 65_535, 1, 1), Err(RectangleError::Beyond));
    let mut pixels = Pixels::new(3, 3, Channels::Grey, vec![0; 9]).unwrap();
    pixels.redact(&[Rectangle::new(0, 0, 1000, 1000).unwrap()]);
    assert_eq!(pixels.data(), [pixels::BURNT; 9]);
}

#[test]
fn a_large_picture_is_made_smaller_and_keeps_its_means() {
    let data = (0..4000_u32).flat_map(|_| (0..8_u8).map(|x| x * 30)).collect::<Vec<u8>>();
    let small = Pixels::new(8, 4000, Channels::Grey, data).unwrap().shrunk();
    assert_eq!((small.width(), small.height()), (3, KEPT_SIDE));
    let square = Pixels::new(3200, 2, Channels::Grey, [0_u8, 100].repeat(3200)).unwrap().shrunk();
    assert_eq!((square.width(), square.height()), (1600, 1));
    assert!(square.data().iter().all(|byte| *byte == 50));
}

/// A drawing with white writing at a place, over a drawn angiogram.
fn with_writing(size: f32, x: u32, y: u32) -> Pixels {
    let text = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"256\" height=\"256\" viewBox=\"0 0 256 256\">\
         <text x=\"{x}\" y=\"{y}\" font-size=\"{size}\" font-family=\"sans-serif\">TOLLAND M 1931-04-02</text></svg>"
    );
    // Ink on white, two dots a unit: 512 by 512.
    let options = resvg::usvg::Options {
        fontdb: {
            let mut fonts = resvg::usvg::fontdb::Database::new();
            fonts.load_font_data(include_bytes!("../export/font/next-regular.ttf").to_vec());
            fonts.set_sans_serif_family("Atkinson Hyperlegible Next");
            std::sync::Arc::new(fonts)
        },
        ..Default::default()
    };
    let tree = resvg::usvg::Tree::from_str(&text, &options).unwrap();
    let mut drawn = resvg::tiny_skia::Pixmap::new(512, 512).unwrap();
    resvg::render(&tree, resvg::tiny_skia::Transform::from_scale(2.0, 2.0), &mut drawn.as_mut());
    let still = angiogram(true);
    let ink = drawn.data().chunks_exact(4).map(|pixel| pixel[3]);
    let data = still.data().iter().zip(ink).map(|(grey, ink)| (*grey).max(ink)).collect();
    Pixels::new(512, 512, Channels::Grey, data).unwrap()
}

#[test]
fn writing_in_a_corner_is_found_where_it_stands() {
    for (size, x, y, words) in [
        (7.0, 3, 12, "top left"),
        (9.0, 4, 14, "top left"),
        (11.0, 4, 250, "bottom left"),
        (8.0, 150, 14, "top right"),
        (8.0, 150, 248, "bottom right"),
    ] {
        let mut pixels = with_writing(size, x, y);
        let zones = burnt_in(&pixels);
        assert!(zones.iter().any(|zone| zone.words().contains(words)), "{size} at {x}, {y}: {zones:?}");
        // The rectangles that are offered cover it.
        let offered: Vec<Rectangle> = zones.iter().map(|zone| zone.place).collect();
        pixels.redact(&offered);
        assert_eq!(burnt_in(&pixels), [], "{size} at {x}, {y}");
    }
}

#[test]
fn a_picture_without_writing_is_left_alone() {
    for lost in [true, false] {
        assert_eq!(burnt_in(&angiogram(lost)), []);
    }
    // Plain, a ramp, coarse grain, one sharp edge, a grid of lines far apart.
    let of = |pixel: &dyn Fn(u32, u32) -> u8| {
        let data = (0..300 * 400).map(|at| pixel(at % 400, at / 400)).collect();
        Pixels::new(400, 300, Channels::Grey, data).unwrap()
    };
    let grain = |x: u32, y: u32| u8::try_from((x.wrapping_mul(7919) ^ y.wrapping_mul(104_729)) % 97).unwrap();
    for pixels in [
        of(&|_, _| 7),
        of(&|x, _| u8::try_from(x * 255 / 400).unwrap()),
        of(&|x, y| 60 + grain(x, y)),
        of(&|x, _| if x < 30 { 0 } else { 200 }),
        of(&|x, _| if x % 60 < 2 { 230 } else { 20 }),
    ] {
        assert_eq!(burnt_in(&pixels), []);
    }
}
