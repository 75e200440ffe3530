use std::io::{Cursor, Write as _};

use zip::write::SimpleFileOptions;
use zip::{CompressionMethod, ZipWriter};

use super::*;

/// Our own master as a file that somebody sends.
fn sent() -> Vec<(String, Vec<u8>)> {
    let mut zip = zip::ZipArchive::new(Cursor::new(Base::ours().to_bytes().unwrap())).unwrap();
    (0..zip.len())
        .map(|place| {
            let mut entry = zip.by_index(place).unwrap();
            let mut bytes = Vec::new();
            std::io::copy(&mut entry, &mut bytes).unwrap();
            (entry.name().unwrap().into_owned(), bytes)
        })
        .collect()
}

fn pack(parts: &[(String, Vec<u8>)]) -> Vec<u8> {
    let mut zip = ZipWriter::new(Cursor::new(Vec::new()));
    let options = SimpleFileOptions::default().compression_method(CompressionMethod::Deflated);
    for (name, bytes) in parts {
        zip.start_file(name, options).unwrap();
        zip.write_all(bytes).unwrap();
    }
    zip.finish().unwrap().into_inner()
}

fn changed(part: &str, change: impl Fn(&str) -> String) -> Vec<u8> {
    let mut parts = sent();
    let (_, bytes) = parts.iter_mut().find(|(name, _)| name == part).unwrap();
    *bytes = change(std::str::from_utf8(bytes).unwrap()).into_bytes();
    pack(&parts)
}

fn without(part: &str) -> Vec<u8> {
    let mut parts = sent();
    parts.retain(|(name, _)| name != part);
    pack(&parts)
}

fn with(name: &str, bytes: &[u8]) -> Vec<u8> {
    let mut parts = sent();
    parts.push((name.to_owned(), bytes.to_vec()));
    pack(&parts)
}

#[test]
fn what_is_kept_reads_again_as_the_same() {
    let once = clean(&pack(&sent())).unwrap().base;
    let again = clean(&once.to_bytes().unwrap()).unwrap().base;
    assert_eq!(once, again);
    assert_eq!(once.layouts_used()[2].1, "Question");
}

#[test]
fn what_is_no_presentation_is_refused_with_a_sentence() {
    assert_eq!(clean(b"").unwrap_err(), Refused::Empty);
    assert_eq!(clean(b"<html>").unwrap_err(), Refused::NoPresentation);
    assert_eq!(
        clean(&[0xD0, 0xCF, 0x11, 0xE0, 0xA1, 0xB1, 0x1A, 0xE1, 0, 0]).unwrap_err(),
        Refused::Protected
    );
    assert_eq!(clean(&vec![0; LARGEST + 1]).unwrap_err(), Refused::TooLarge);
    assert_eq!(clean(&pack(&[("a.txt".to_owned(), b"x".to_vec())])).unwrap_err(), Refused::NoPresentation);
    let whole = pack(&sent());
    for end in [10, whole.len() / 2, whole.len() - 30] {
        clean(&whole[..end]).unwrap_err();
    }
}

#[test]
fn macros_are_refused() {
    let kind = |text: &str| text.replace("presentation.main+xml", "presentation.macroEnabled.main+xml");
    let named = changed("[Content_Types].xml", |text| {
        text.replace(
            "application/vnd.openxmlformats-officedocument.presentationml.presentation.main+xml",
            "application/vnd.ms-powerpoint.presentation.macroEnabled.main+xml",
        )
    });
    assert_eq!(clean(&named).unwrap_err(), Refused::Macros);
    assert_eq!(clean(&with("ppt/vbaProject.bin", b"x")).unwrap_err(), Refused::Macros);
    assert!(clean(&changed("[Content_Types].xml", kind)).is_err());
}

#[test]
fn a_name_that_leads_out_of_the_file_is_refused() {
    for name in ["../../etc/passwd", "/etc/passwd", "ppt/..\\x", "ppt/../../x", "ppt/./x"] {
        assert!(matches!(clean(&with(name, b"x")).unwrap_err(), Refused::Hostile(_)), "{name}");
    }
    assert!(matches!(clean(&with("PPT/theme/THEME1.xml", b"x")).unwrap_err(), Refused::Hostile(_)));
}

#[test]
fn what_unpacks_to_too_much_is_refused() {
    // 60 MB of one letter pack to some 60 kB.
    let bomb = changed("ppt/theme/theme1.xml", |text| format!("{text}{}", " ".repeat(60 * 1024 * 1024)));
    assert!(bomb.len() < 1024 * 1024);
    assert!(matches!(clean(&bomb).unwrap_err(), Refused::Hostile(_)));
    let mut many = sent();
    many.extend((0..3_100).map(|n| (format!("ppt/x{n}.xml"), Vec::new())));
    assert!(matches!(clean(&pack(&many)).unwrap_err(), Refused::Hostile(_)));
}

#[test]
fn a_document_type_is_refused_so_that_no_entity_grows() {
    let bomb = changed(MASTER, |text| {
        text.replace("?>\n", "?>\n<!DOCTYPE a [<!ENTITY b \"bbbb\"><!ENTITY c \"&b;&b;&b;\">]>\n")
    });
    assert!(matches!(clean(&bomb).unwrap_err(), Refused::Damaged(_)));
}

#[test]
fn elements_that_stand_too_deep_are_refused() {
    let deep = changed(MASTER, |text| {
        let inside = format!("{}{}", "<p:grpSp>".repeat(200), "</p:grpSp>".repeat(200));
        text.replace("</p:spTree>", &format!("{inside}</p:spTree>"))
    });
    assert!(matches!(clean(&deep).unwrap_err(), Refused::Hostile(_)));
}

#[test]
fn a_part_that_is_missing_is_named_as_damage() {
    for part in
        [MASTER, THEME, "ppt/slideLayouts/slideLayout2.xml", "ppt/slideMasters/_rels/slideMaster1.xml.rels"]
    {
        assert!(
            matches!(clean(&without(part)).unwrap_err(), Refused::Damaged(_) | Refused::NoText),
            "{part}"
        );
    }
    assert_eq!(clean(&without("_rels/.rels")).unwrap_err(), Refused::NoPresentation);
    assert_eq!(clean(&without("[Content_Types].xml")).unwrap_err(), Refused::NoPresentation);
    let none = changed(MASTER, |text| text.replace("sldLayoutId ", "sldLayoutNone "));
    assert_eq!(clean(&none).unwrap_err(), Refused::NoText);
    let small = changed("ppt/presentation.xml", |text| text.replace("cx=\"12192000\"", "cx=\"1219200\""));
    assert_eq!(clean(&small).unwrap_err(), Refused::TooSmall);
}

#[test]
fn what_moves_leads_away_or_hides_stays_behind() {
    let sent = changed(MASTER, |text| {
        text.replace(
            "</p:spTree>",
            "<p:sp><p:nvSpPr><p:cNvPr id=\"90\" name=\"Link\"><a:hlinkClick r:id=\"rId99\"/><a:extLst><a:ext uri=\"x\"><x:y xmlns:x=\"urn:x\">SECRET</x:y></a:ext></a:extLst></p:cNvPr><p:cNvSpPr/><p:nvPr><p:custDataLst><p:tags r:id=\"rId98\"/></p:custDataLst></p:nvPr></p:nvSpPr><p:spPr/></p:sp>\
             <p:graphicFrame><p:nvGraphicFramePr><p:cNvPr id=\"91\" name=\"Object\"/><p:cNvGraphicFramePr/><p:nvPr/></p:nvGraphicFramePr><p:xfrm><a:off x=\"0\" y=\"0\"/><a:ext cx=\"1\" cy=\"1\"/></p:xfrm><a:graphic><a:graphicData uri=\"http://schemas.openxmlformats.org/presentationml/2006/ole\"><p:oleObj r:id=\"rId97\" progId=\"SECRET\"/></a:graphicData></a:graphic></p:graphicFrame>\
             <y:thing xmlns:y=\"urn:y\">SECRET</y:thing></p:spTree>",
        )
        .replace("<p:hf ", "<p:timing><p:tnLst/></p:timing><p:hf ")
    });
    let cleaned = clean(&sent).unwrap();
    let master = &cleaned.base.parts().parts()[MASTER];
    let text = std::str::from_utf8(&master.bytes).unwrap();
    for gone in ["SECRET", "hlinkClick", "custDataLst", "oleObj", "timing", "extLst", "graphicFrame"] {
        assert!(!text.contains(gone), "{gone}");
    }
    assert!(text.contains("name=\"Link\"") && text.contains("<a:ext cx="));
    assert_eq!(cleaned.left_out.len(), 1);
}
