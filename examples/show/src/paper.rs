//! What a drawing of its own stands on: one ground, ink and rule for light, dark and print.
//!
//! Colours stand in each rule by themselves: many viewers of pictures know no variables and would
//! draw the whole in black.

use crate::markup::escape;

/// The ground of a drawing and what is written on it.
#[derive(Clone, Copy, Debug)]
pub struct Paper {
    /// The ground.
    pub paper: &'static str,
    /// What must be read.
    pub ink: &'static str,
    /// What stands beside it.
    pub soft: &'static str,
    /// Lines of a grid.
    pub rule: &'static str,
}

/// On a light screen.
pub const LIGHT: Paper = Paper {
    paper: "#fbfaf6",
    ink: "#17191b",
    soft: "#6a6f74",
    rule: "#cfcdc6",
};
/// On a dark one.
pub const DARK: Paper = Paper {
    paper: "#14171a",
    ink: "#ece9e2",
    soft: "#a9adb0",
    rule: "#3c4146",
};
/// On paper.
pub const PRINTED: Paper = Paper {
    paper: "#fff",
    ink: "#000",
    soft: "#333",
    rule: "#bbb",
};

/// A drawing as a document of its own.
#[derive(Clone, Debug)]
pub struct Sheet<'a> {
    /// Width and height in the drawing's own units.
    pub size: [f64; 2],
    /// What its title and its description are called in the document, each with its own ending.
    pub name: &'a str,
    /// What it is of.
    pub title: &'a str,
    /// What it shows, for whoever does not see it.
    pub description: &'a str,
    /// The style that does not depend on the colours.
    pub fixed: &'a str,
    /// The rules of light, dark and print.
    pub rules: [String; 3],
}

impl Sheet<'_> {
    /// The drawing up to its ground; `</svg>` ends it.
    pub fn open(self) -> String {
        let Self { name, fixed, .. } = self;
        let ([width, height], [light, dark, printed]) = (self.size, self.rules);
        format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {width:.0} {height:.0}\" \
             role=\"img\" aria-labelledby=\"{name}-title {name}-text\">\
             <title id=\"{name}-title\">{}</title><desc id=\"{name}-text\">{}</desc>\
             <style>{fixed}{light}@media (prefers-color-scheme:dark){{{dark}}}\
             @media print{{{printed}}}</style>\
             <rect class=\"paper\" width=\"{width:.0}\" height=\"{height:.0}\"/>",
            escape(self.title),
            escape(self.description)
        )
    }
}
