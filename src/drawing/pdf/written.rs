//! How names, strings and numbers are written in a PDF.

/// A name, with all but letters and digits as their codes.
pub(super) fn write_name(out: &mut Vec<u8>, name: &[u8]) {
    out.push(b'/');
    for byte in name {
        if byte.is_ascii_alphanumeric() {
            out.push(*byte);
        } else {
            out.extend_from_slice(format!("#{byte:02x}").as_bytes());
        }
    }
}

/// A string.
pub(super) fn write_hex(out: &mut Vec<u8>, string: &[u8]) {
    out.push(b'<');
    for byte in string {
        out.extend_from_slice(format!("{byte:02x}").as_bytes());
    }
    out.push(b'>');
}

/// A number, with as many digits as it takes to be read again bit for bit.
pub(super) fn write_number(out: &mut Vec<u8>, number: f64) {
    let number = if number.is_finite() { number } else { 0.0 };
    out.extend_from_slice(format!(" {number}").as_bytes());
}
