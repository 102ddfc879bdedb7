//! Why a call is refused: a number for the program, a message for its author.

/// How a call ended. Anything but WRACKLINE_STATUS_OK comes with a message.
#[repr(i32)]
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Status {
    /// The results are written.
    Ok = 0,
    /// A pointer that is needed is null, or not aligned for what it points to.
    BadPointer = 1,
    /// A text is not UTF-8.
    BadText = 2,
    /// A number that stands for a choice stands for none.
    BadChoice = 3,
    /// A value, or several together, cannot be worked with: the message says which, and what to
    /// give.
    BadValue = 4,
    /// The caller's array or text has too little room; how much is needed is written.
    TooSmall = 5,
    /// A defect of this library, caught before it could harm the caller.
    Internal = 100,
}

/// Why a call is refused.
#[derive(Debug, thiserror::Error)]
pub(crate) enum Refusal {
    #[error("{0} is null or misaligned: give a pointer to what the header says")]
    Pointer(&'static str),
    #[error("{name}: no array has {length} elements: give the number that there are")]
    Length { name: &'static str, length: usize },
    #[error("{0} is not UTF-8: give a text in UTF-8 that ends with a zero byte")]
    Text(&'static str),
    #[error("{value} is no {what}: give {lowest} to {highest}, by the names in the header")]
    Choice {
        what: &'static str,
        value: i32,
        lowest: i32,
        highest: i32,
    },
    #[error("{0}")]
    Value(String),
    #[error("{name} has room for {room}, needed are {needed}: give more room")]
    TooSmall {
        name: &'static str,
        room: usize,
        needed: usize,
    },
}

impl Refusal {
    pub(crate) fn status(&self) -> Status {
        match self {
            Self::Pointer(_) => Status::BadPointer,
            Self::Text(_) => Status::BadText,
            Self::Choice { .. } => Status::BadChoice,
            Self::Value(_) | Self::Length { .. } => Status::BadValue,
            Self::TooSmall { .. } => Status::TooSmall,
        }
    }

    /// What a library says about its input.
    pub(crate) fn value(message: impl ToString) -> Self {
        Self::Value(message.to_string())
    }
}

impl From<wrackline_solar::Error> for Refusal {
    fn from(error: wrackline_solar::Error) -> Self {
        Self::value(error)
    }
}

impl From<wrackline_tides::Error> for Refusal {
    fn from(error: wrackline_tides::Error) -> Self {
        Self::value(error)
    }
}

impl From<wrackline_optics::Error> for Refusal {
    fn from(error: wrackline_optics::Error) -> Self {
        Self::value(error)
    }
}

/// A value that every sum needs: a number, and not without end.
pub(crate) fn finite(what: &str, value: f64) -> Result<f64, Refusal> {
    if value.is_finite() {
        Ok(value)
    } else {
        Err(Refusal::Value(format!(
            "{what} {value} is no finite number: give one"
        )))
    }
}
