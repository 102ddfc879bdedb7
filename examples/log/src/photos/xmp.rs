//! The rating in an XMP packet (Adobe 2012 / ISO 16684-1:2019, XMP basic namespace: `xmp:Rating`, -1 rejected, 0 unrated, 1
//! to 5), written as an attribute or as an element.

use quick_xml::NsReader;
use quick_xml::events::{BytesStart, Event};
use quick_xml::name::{Namespace, ResolveResult};

const XMP: &str = "http://ns.adobe.com/xap/1.0/";

/// The rating of a packet, or `None` where it has none. What is no XML, or no rating from -1 to 5, counts as none: a
/// picture without a rating is an everyday thing, and nothing else hangs on it.
pub(super) fn rating(packet: &str) -> Option<i8> {
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
            Event::Text(text) if inside => return parse(&text.xml10_content()),
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
             xmlns:rdf='http://www.w3.org/1999/02/22-rdf-syntax-ns#'>{inner}</rdf:RDF></x:xmpmeta><?xpacket end='w'?>"
        )
    }

    #[test]
    fn attribute_element_and_any_prefix() {
        let attribute = "<rdf:Description xmlns:q='http://ns.adobe.com/xap/1.0/' q:Rating='4'/>";
        let element = "<rdf:Description xmlns:xmp='http://ns.adobe.com/xap/1.0/'><xmp:Rating> -1 </xmp:Rating></rdf:Description>";
        assert_eq!(rating(&packet(attribute)), Some(4));
        assert_eq!(rating(&packet(element)), Some(-1));
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
