//! Who is told about an outing.

use super::reader::Table;

/// Who is told before an outing, and raises the alarm when nobody is back by the time agreed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Contact {
    /// Their name.
    pub name: String,
    /// Their telephone number.
    pub phone: Option<String>,
}

impl Contact {
    /// Name and number in one line.
    pub fn line(&self) -> String {
        match &self.phone {
            Some(phone) => format!("{}, {phone}", self.name),
            None => self.name.clone(),
        }
    }
}

pub(super) fn read(table: Table<'_, '_>) -> Contact {
    let phone = table.optional_text("phone");
    if let Some(phone) = &phone
        && !phone.contains(|c: char| c.is_ascii_digit())
    {
        table.report(
            "phone",
            format!("\"{phone}\" has no digit in it"),
            "give the number to be called",
        );
    }
    let contact = Contact {
        name: table.text("name"),
        phone,
    };
    table.finish();
    contact
}
