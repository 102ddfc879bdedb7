//! Pictures made for tests, here and of the program.

use std::io::Cursor;

use exif::experimental::Writer;
use exif::{Field, In, Rational, Tag, Value};

/// What goes into the head of a test picture.
#[derive(Clone, Copy, Default)]
pub(crate) struct Shot<'a> {
    pub(crate) taken: Option<&'a str>,
    pub(crate) offset: Option<&'a str>,
    pub(crate) fraction: Option<&'a str>,
    pub(crate) focal_length_mm: Option<u32>,
    pub(crate) rating: Option<i8>,
    pub(crate) thumbnail: usize,
}

fn segment(out: &mut Vec<u8>, marker: u8, content: &[u8]) {
    out.extend([0xff, marker]);
    out.extend(u16::try_from(content.len() + 2).unwrap().to_be_bytes());
    out.extend(content);
}

/// A JPEG file whose head is in order and whose image is a few bytes of nothing.
pub(crate) fn jpeg(shot: Shot<'_>) -> Vec<u8> {
    let ascii = |tag, text: Option<&str>| {
        text.map(|text| Field {
            tag,
            ifd_num: In::PRIMARY,
            value: Value::Ascii(vec![text.as_bytes().to_vec()]),
        })
    };
    let mut fields: Vec<Field> = [
        ascii(Tag::DateTimeOriginal, shot.taken),
        ascii(Tag::OffsetTimeOriginal, shot.offset),
        ascii(Tag::SubSecTimeOriginal, shot.fraction),
    ]
    .into_iter()
    .flatten()
    .collect();
    if let Some(num) = shot.focal_length_mm {
        let value = Value::Rational(vec![Rational { num, denom: 1 }]);
        fields.push(Field {
            tag: Tag::FocalLength,
            ifd_num: In::PRIMARY,
            value,
        });
    }
    // An empty directory is no Exif: the writer wants one field at least.
    let software = Field {
        tag: Tag::ImageDescription,
        ifd_num: In::PRIMARY,
        value: Value::Ascii(vec![b"test".to_vec()]),
    };
    let mut writer = Writer::new();
    fields.push(software);
    fields.iter().for_each(|field| writer.push_field(field));
    let mut tiff = Cursor::new(Vec::new());
    writer.write(&mut tiff, false).unwrap();
    let mut exif = b"Exif\0\0".to_vec();
    exif.extend(tiff.into_inner());
    exif.resize(exif.len() + shot.thumbnail, 0x11);
    let mut out = vec![0xff, 0xd8];
    segment(&mut out, 0xe0, b"JFIF\0\x01\x01\0\0\x01\0\x01\0\0");
    segment(&mut out, 0xe1, &exif);
    if let Some(rating) = shot.rating {
        let packet = format!(
            "http://ns.adobe.com/xap/1.0/\0<x:xmpmeta xmlns:x='adobe:ns:meta/'><rdf:RDF \
             xmlns:rdf='http://www.w3.org/1999/02/22-rdf-syntax-ns#'><rdf:Description \
             xmlns:xmp='http://ns.adobe.com/xap/1.0/' xmp:Rating='{rating}'/></rdf:RDF></x:xmpmeta>"
        );
        segment(&mut out, 0xe1, packet.as_bytes());
    }
    segment(&mut out, 0xdb, &[0; 65]);
    segment(&mut out, 0xda, &[0; 6]);
    out.extend([0; 2000]);
    out.extend([0xff, 0xd9]);
    out
}

pub(crate) const GOOD: Shot<'_> = Shot {
    taken: Some("2026:01:24 09:40:30"),
    offset: Some("+01:00"),
    fraction: Some("25"),
    focal_length_mm: Some(840),
    rating: Some(4),
    thumbnail: 12_000,
};
