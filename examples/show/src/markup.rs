//! Text and names inside HTML and SVG, and the two elements that every drawing is made of.

use std::fmt::Write;

/// Text with the characters of markup replaced, for content and for attributes in quotes.
///
/// ```
/// use wrackline_show::markup::escape;
/// assert_eq!(escape("<\"tern\" & co>"), "&lt;&quot;tern&quot; &amp; co&gt;");
/// ```
pub fn escape(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\'' => out.push_str("&#39;"),
            // Control characters have no place in XML, not even as references.
            c if c.is_control() => out.push(' '),
            c => out.push(c),
        }
    }
    out
}

/// Appends a line from `[x1, y1]` to `[x2, y2]`.
pub fn line(svg: &mut String, [x1, y1, x2, y2]: [f64; 4], class: &str) {
    let _ = write!(
        svg,
        r#"<line class="{class}" x1="{x1:.1}" y1="{y1:.1}" x2="{x2:.1}" y2="{y2:.1}"/>"#
    );
}

/// Appends a text.
pub fn text(svg: &mut String, x: f64, y: f64, class: &str, content: &str) {
    let _ = write!(
        svg,
        r#"<text class="{class}" x="{x:.1}" y="{y:.1}">{}</text>"#,
        escape(content)
    );
}

/// The same markup with every id, and every reference to one, made different from those of the
/// others in a document. Text cannot be mistaken for an attribute: its quotes are escaped.
#[cfg(any(test, feature = "page"))] // For pages that hold several drawings.
pub(crate) fn with_ids_of_their_own(html: &str, number: usize) -> String {
    let mut out = String::with_capacity(html.len());
    let mut rest = html;
    loop {
        let found = [" id=\"", " aria-labelledby=\""]
            .into_iter()
            .filter_map(|name| rest.find(name).map(|at| (at, at + name.len())))
            .min();
        let Some((_, value)) = found else { break };
        out.push_str(&rest[..value]);
        rest = &rest[value..];
        let end = rest.find('"').unwrap_or(rest.len());
        for (index, name) in rest[..end].split(' ').enumerate() {
            let gap = if index > 0 { " " } else { "" };
            let _ = write!(out, "{gap}{name}-{number}");
        }
        rest = &rest[end..];
    }
    out.push_str(rest);
    out
}

#[cfg(test)]
mod tests {
    use super::with_ids_of_their_own;

    #[test]
    fn ids_differ_and_text_stays() {
        let html = "<svg aria-labelledby=\"a b\">\
            <title id=\"a\">x id=&quot;y&quot;</title><desc id=\"b\"/></svg>";
        assert_eq!(
            with_ids_of_their_own(html, 7),
            "<svg aria-labelledby=\"a-7 b-7\">\
             <title id=\"a-7\">x id=&quot;y&quot;</title><desc id=\"b-7\"/></svg>"
        );
    }
}
