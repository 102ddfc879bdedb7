//! Numbers without digits that mean nothing.

/// Writes a number to three decimals: a millimetre of a metre, a tenth of a second of a minute.
///
/// # Errors
/// What the serializer refuses.
pub fn to_thousandths<S: serde::Serializer>(value: &f64, serializer: S) -> Result<S::Ok, S::Error> {
    serializer.serialize_f64((value * 1000.0).round() / 1000.0)
}
