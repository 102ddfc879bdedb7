//! The rating in an XMP packet (Adobe 2012 / ISO 16684-1:2019, XMP basic namespace: `xmp:Rating`,
//! -1 rejected, 0 unrated, 1 to 5), written as an attribute or as an element.

use quick_xml::NsReader;
use quick_xml::events::{BytesStart, Event};
use quick_xml::name::{Namespace, ResolveResult};

const XMP: &str = "http://ns.adobe.com/xap/1.0/";

/// The rating of a packet in UTF-8 or UTF-16, which its byte order mark or its first character
/// tells (ISO 16684-1:2019, section 7.1).
pub fn rating_of_bytes(bytes: &[u8]) -> Option<i8> {
    let wide = |order: fn([u8; 2]) -> u16| {
        let units = bytes.as_chunks::<2>().0.iter().map(|unit| order(*unit));
        char::decode_utf16(units)
            .map(|c| c.unwrap_or(char::REPLACEMENT_CHARACTER))
            .collect::<String>()
    };
    let text = match bytes {
        [0xff, 0xfe, ..] | [b'<', 0, ..] => wide(u16::from_le_bytes),
        [0xfe, 0xff, ..] | [0, b'<', ..] => wide(u16::from_be_bytes),
        _ => String::from_utf8_lossy(bytes).into_owned(),
    };
    rating(text.trim_start_matches('\u{feff}'))
}

/// The rating of a packet, or `None` where it has none. What is no XML, or no rating from -1 to 5,
/// counts as none: a picture without a rating is an everyday thing, and nothing else hangs on it.
fn rating(packet: &str) -> Option<i8> {
    let mut reader = NsReader::from_str(packet);
    let mut inside = false;
    loop {
        match reader.read_event().ok()? {
            Event::Start(element) => {
                if let Some(rating) = in_attributes(&reader, &element) {
                    return Some(rating);
                }
                inside = element.local_name().as_ref() == "Rating"
                    && is_xmp(&reader.resolver().resolve_element(element.name()).0);
            }
            Event::Empty(element) => {
                if let Some(rating) = in_attributes(&reader, &element) {
                    return Some(rating);
                }
            }
            Event::Text(text) if inside => {
                // Blanks before a CDATA section are no answer yet.
                if let Some(rating) = parse(&text.xml10_content()) {
                    return Some(rating);
                }
            }
            Event::CData(text) if inside => return parse(&text.into_inner()),
            Event::End(_) => inside = false,
            Event::Eof => return None,
            _ => {}
        }
    }
}

fn in_attributes(reader: &NsReader<&[u8]>, element: &BytesStart<'_>) -> Option<i8> {
    element.attributes().flatten().find_map(|attribute| {
        let (namespace, name) = reader.resolver().resolve_attribute(attribute.key);
        (name.as_ref() == "Rating" && is_xmp(&namespace)).then(|| parse(&attribute.value))?
    })
}

fn is_xmp(namespace: &ResolveResult<'_>) -> bool {
    matches!(namespace, ResolveResult::Bound(Namespace(name)) if *name == XMP)
}

fn parse(text: &str) -> Option<i8> {
    // Some writers give a decimal.
    let value: f64 = text.trim().parse().ok()?;
    (-1.0..=5.0).contains(&value).then_some(value.round() as i8)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn packet(inner: &str) -> String {
        format!(
            "<?xpacket begin='\u{feff}' id='x'?><x:xmpmeta xmlns:x='adobe:ns:meta/'><rdf:RDF \
             xmlns:rdf='http://www.w3.org/1999/02/22-rdf-syntax-ns#'>{inner}</rdf:RDF></x:xmpmeta>\
             <?xpacket end='w'?>"
        )
    }

    #[test]
    fn attribute_element_and_any_prefix() {
        let attribute = "<rdf:Description xmlns:q='http://ns.adobe.com/xap/1.0/' q:Rating='4'/>";
        let element = "<rdf:Description xmlns:xmp='http://ns.adobe.com/xap/1.0/'>\
             <xmp:Rating> -1 </xmp:Rating></rdf:Description>";
        let cdata = "<rdf:Description xmlns:xmp='http://ns.adobe.com/xap/1.0/'>\
             <xmp:Rating> <![CDATA[3]]></xmp:Rating></rdf:Description>";
        assert_eq!(rating(&packet(cdata)), Some(3));
        assert_eq!(rating(&packet(attribute)), Some(4));
        assert_eq!(rating(&packet(element)), Some(-1));
    }

    #[test]
    fn utf_16_with_and_without_its_mark() {
        let text = packet("<rdf:Description xmlns:q='http://ns.adobe.com/xap/1.0/' q:Rating='2'/>");
        let text = &text[text.find("<x:").unwrap_or(0)..];
        for mark in ["", "\u{feff}"] {
            let units: Vec<u16> = format!("{mark}{text}").encode_utf16().collect();
            let little: Vec<u8> = units.iter().flat_map(|unit| unit.to_le_bytes()).collect();
            let big: Vec<u8> = units.iter().flat_map(|unit| unit.to_be_bytes()).collect();
            assert_eq!(rating_of_bytes(&little), Some(2));
            assert_eq!(rating_of_bytes(&big), Some(2));
        }
        assert_eq!(
            rating_of_bytes(format!("\u{feff}{text}").as_bytes()),
            Some(2)
        );
    }

    #[test]
    fn other_namespaces_and_nonsense_are_no_rating() {
        for inner in [
            "",
            "<rdf:Description xmlns:q='http://example.org/' q:Rating='4'/>",
            "<rdf:Description xmlns:q='http://ns.adobe.com/xap/1.0/' q:Rating='nine'/>",
            "<rdf:Description xmlns:q='http://ns.adobe.com/xap/1.0/' q:Rating='9'/>",
            "<rdf:Description <<",
        ] {
            assert_eq!(rating(&packet(inner)), None, "{inner}");
        }
    }
}
