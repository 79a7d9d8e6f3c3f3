//! Text inside an address.

/// The text with every byte percent-encoded that is neither a letter, a digit nor one of `plain` (RFC 3986).
pub fn percent_encoded(text: &str, plain: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for byte in text.bytes() {
        match byte.is_ascii_alphanumeric() || plain.as_bytes().contains(&byte) {
            true => out.push(char::from(byte)),
            false => out.push_str(&format!("%{byte:02X}")),
        }
    }
    out
}
