//! What an XMP packet (ISO 16684-1:2019) tells of a picture: its rating (XMP basic namespace:
//! `xmp:Rating`, -1 rejected, 0 unrated, 1 to 5), written as an attribute or as an element, and its
//! keywords (Dublin Core namespace: the items of `dc:subject`).

use quick_xml::NsReader;
use quick_xml::escape::resolve_xml_entity;
use quick_xml::events::{BytesRef, BytesStart, Event};
use quick_xml::name::{Namespace, ResolveResult};

const XMP: &str = "http://ns.adobe.com/xap/1.0/";
const DUBLIN_CORE: &str = "http://purl.org/dc/elements/1.1/";

/// The rating of a packet in UTF-8 or UTF-16, which its byte order mark or its first character
/// tells (ISO 16684-1:2019, section 7.1).
pub fn rating_of_bytes(bytes: &[u8]) -> Option<i8> {
    rating(text_of(bytes).trim_start_matches('\u{feff}'))
}

/// The keywords of a packet, in its order. What is no XML ends the list.
pub fn keywords_of_bytes(bytes: &[u8]) -> Vec<String> {
    let text = text_of(bytes);
    let mut reader = NsReader::from_str(text.trim_start_matches('\u{feff}'));
    let mut keywords = Vec::new();
    // Inside the subject, and the item of it that is being read.
    let (mut inside, mut item) = (false, None::<String>);
    loop {
        match reader.read_event() {
            Ok(Event::Start(element)) => {
                let name = element.local_name();
                let namespace = reader.resolver().resolve_element(element.name()).0;
                inside |= name.as_ref() == "subject" && is_bound(&namespace, DUBLIN_CORE);
                if inside && name.as_ref() == "li" {
                    item = Some(String::new());
                }
            }
            Ok(Event::Text(text)) => {
                if let Some(item) = &mut item {
                    item.push_str(&text.xml10_content());
                }
            }
            Ok(Event::CData(text)) => {
                if let Some(item) = &mut item {
                    item.push_str(&text.into_inner());
                }
            }
            Ok(Event::GeneralRef(name)) => {
                if let Some(item) = &mut item {
                    item.push_str(&referred(&name));
                }
            }
            Ok(Event::End(element)) => {
                let keyword = item.take().map(|item| item.trim().to_owned());
                keywords.extend(keyword.filter(|keyword| !keyword.is_empty()));
                inside &= element.local_name().as_ref() != "subject";
            }
            Ok(Event::Eof) | Err(_) => return keywords,
            Ok(_) => {}
        }
    }
}

/// The character that a reference such as `&amp;` or `&#233;` stands for.
fn referred(name: &BytesRef<'_>) -> String {
    if let Ok(Some(character)) = name.resolve_char_ref() {
        return character.to_string();
    }
    let predefined = resolve_xml_entity(name.as_ref());
    predefined.unwrap_or_default().to_owned()
}

fn text_of(bytes: &[u8]) -> String {
    let wide = |order: fn([u8; 2]) -> u16| {
        let units = bytes.as_chunks::<2>().0.iter().map(|unit| order(*unit));
        char::decode_utf16(units)
            .map(|c| c.unwrap_or(char::REPLACEMENT_CHARACTER))
            .collect::<String>()
    };
    match bytes {
        [0xff, 0xfe, ..] | [b'<', 0, ..] => wide(u16::from_le_bytes),
        [0xfe, 0xff, ..] | [0, b'<', ..] => wide(u16::from_be_bytes),
        _ => String::from_utf8_lossy(bytes).into_owned(),
    }
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
    is_bound(namespace, XMP)
}

fn is_bound(namespace: &ResolveResult<'_>, to: &str) -> bool {
    matches!(namespace, ResolveResult::Bound(Namespace(name)) if *name == to)
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
    fn keywords_are_the_items_of_the_subject_alone() {
        let inner = "<rdf:Description xmlns:k='http://purl.org/dc/elements/1.1/'><k:title><rdf:Alt>\
            <rdf:li>a title</rdf:li></rdf:Alt></k:title>\
            <k:subject><rdf:Bag><rdf:li>lift-off</rdf:li>\
            <rdf:li> salt &amp; mud &#233; </rdf:li><rdf:li/>\
            <rdf:li><![CDATA[<b>]]></rdf:li></rdf:Bag>\
            </k:subject><k:creator><rdf:Seq><rdf:li>nobody</rdf:li></rdf:Seq></k:creator>\
            </rdf:Description>";
        let packet = packet(inner);
        let keywords = keywords_of_bytes(packet.as_bytes());
        assert_eq!(keywords, ["lift-off", "salt & mud \u{e9}", "<b>"]);
        let other = packet.replace("http://purl.org/dc/elements/1.1/", "http://example.org/");
        assert!(keywords_of_bytes(other.as_bytes()).is_empty());
        let cut = &packet[..packet.find("<k:creator").unwrap() - 40];
        assert_eq!(keywords_of_bytes(cut.as_bytes()).len(), 2);
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
