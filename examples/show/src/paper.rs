//! What a drawing of its own stands on: one ground, ink and rule for light, dark and print.
//!
//! Colours stand in each rule by themselves: many viewers of pictures know no variables and would
//! draw the whole in black.

/// The ground of a drawing and what is written on it.
#[derive(Clone, Copy)]
pub(crate) struct Paper {
    pub(crate) paper: &'static str,
    pub(crate) ink: &'static str,
    pub(crate) soft: &'static str,
    pub(crate) rule: &'static str,
}

pub(crate) const LIGHT: Paper = Paper {
    paper: "#fbfaf6",
    ink: "#17191b",
    soft: "#6a6f74",
    rule: "#cfcdc6",
};
pub(crate) const DARK: Paper = Paper {
    paper: "#14171a",
    ink: "#ece9e2",
    soft: "#a9adb0",
    rule: "#3c4146",
};
pub(crate) const PRINTED: Paper = Paper {
    paper: "#fff",
    ink: "#000",
    soft: "#333",
    rule: "#bbb",
};

/// A style: what does not depend on the colours, and the rules of light, dark and print.
pub(crate) fn style(fixed: &str, [light, dark, printed]: [String; 3]) -> String {
    format!("{fixed}{light}@media (prefers-color-scheme:dark){{{dark}}}@media print{{{printed}}}")
}
