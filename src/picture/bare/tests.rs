use proptest::prelude::*;

use super::*;
use crate::picture::{Channels, Pixels, angiogram, encode, read};

/// A GIF of one dot (GIF 89a, appendix), with a comment, a loop, words of a program, and more behind its end.
fn dot() -> (Vec<u8>, Vec<u8>) {
    let head = b"GIF89a\x01\0\x01\0\x80\0\0\xff\xff\xff\0\0\0".as_slice();
    let comment = b"\x21\xfe\x06ZQTOLL\0".as_slice();
    let loops = b"\x21\xff\x0bNETSCAPE2.0\x03\x01\0\0\0".as_slice();
    let program = b"\x21\xff\x0bXMP DataXMP\x06ZQTOLL\0".as_slice();
    let control = b"\x21\xf9\x04\x01\0\0\0\0".as_slice();
    let image = b"\x2c\0\0\0\0\x01\0\x01\0\0\x02\x02\x44\x01\0".as_slice();
    let sent = [head, comment, loops, program, control, image, b";ZQTOLL"].concat();
    (sent, [head, loops, control, image, b";"].concat())
}

#[test]
fn a_gif_keeps_its_loop_and_its_pictures() {
    let (sent, wanted) = dot();
    assert_eq!(bare(&sent).unwrap(), Bare { ending: "gif", media_type: "image/gif", bytes: wanted });
}

#[test]
fn a_png_of_ours_stays_as_it_is() {
    let png = encode(&angiogram(true)).unwrap();
    assert_eq!(bare(&png).unwrap().bytes, png);
    let behind = [png.as_slice(), b"ZQTOLL"].concat();
    assert_eq!(bare(&behind).unwrap().bytes, png);
    // A text after the head of the file: length, kind, content, check sum.
    let mut told = png.clone();
    told.splice(33..33, b"\0\0\0\x06tEXtZQTOLL\0\0\0\0".iter().copied());
    assert_eq!(bare(&told).unwrap().bytes, png);
}

#[test]
fn what_is_no_picture_or_not_whole_is_none() {
    let png = encode(&angiogram(true)).unwrap();
    let gif = dot().0;
    for bytes in [
        &b""[..],
        b"BM",
        b"<svg/>",
        b"II*\0",
        b"GIF89a",
        b"\xff\xd8\xff",
        b"\xff\xd8\xff\xd9",
        b"\x89PNG\r\n\x1a\n",
    ] {
        assert_eq!(bare(bytes), None, "{bytes:?}");
    }
    for end in [9, 20, 40, png.len() / 2, png.len() - 1] {
        assert_eq!(bare(&png[..end]), None, "{end}");
    }
    for end in 0..gif.len() - 7 {
        assert_eq!(bare(&gif[..end]), None, "{end}");
    }
}

proptest! {
    #[test]
    fn nobodys_bytes_bring_it_down_or_make_it_grow(
        start in 0..4_usize, bytes in proptest::collection::vec(any::<u8>(), 0..400), place in 0..20_000_usize
    ) {
        let starts: [&[u8]; 4] = [b"\x89PNG\r\n\x1a\n", b"\xff\xd8\xff", b"GIF89a", b""];
        let sent = [starts[start], &bytes].concat();
        prop_assert!(bare(&sent).is_none_or(|kept| kept.bytes.len() <= sent.len() + 36));
        // And one byte changed in a whole one.
        let mut png = encode(&Pixels::new(8, 8, Channels::Grey, (0..64).collect()).unwrap()).unwrap();
        let at = place % png.len();
        png[at] ^= bytes.first().copied().unwrap_or(1);
        if let Some(kept) = bare(&png) {
            prop_assert!(kept.bytes.len() <= png.len());
            let _ = read(kept.bytes);
        }
    }
}
