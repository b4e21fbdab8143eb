//! Taking out of a finished wasm file what only tools read: custom sections, of which the names of functions are a quarter of the whole.
//! The compiler could leave them out, but then the wasm-bindgen tool would miss the list of features that it goes by.

/// What every wasm file of version 1 begins with.
const BEGINNING: &[u8] = b"\0asm\x01\0\0\0";

/// The file without its custom sections; nothing where it is no wasm file or is cut short.
pub fn bare(file: &[u8]) -> Option<Vec<u8>> {
    let mut rest = file.strip_prefix(BEGINNING)?;
    let mut bare = BEGINNING.to_vec();
    while let Some((kind, after)) = rest.split_first() {
        let (length, body) = number(after)?;
        let (section, next) = rest.split_at_checked(rest.len() - body.len() + length)?;
        if *kind != 0 {
            bare.extend(section);
        }
        rest = next;
    }
    Some(bare)
}

/// Reads a number of seven bits a byte, lowest first, at most 32 bits; gives it with what follows.
fn number(bytes: &[u8]) -> Option<(usize, &[u8])> {
    let mut value = 0;
    for (at, byte) in bytes.iter().enumerate().take(5) {
        value |= usize::from(byte & 0x7f) << (7 * at);
        if byte & 0x80 == 0 {
            return Some((value, bytes.get(at + 1..)?));
        }
    }
    None
}

#[cfg(test)]
mod tests {
    use super::*;

    fn section(kind: u8, length: &[u8], body: &[u8]) -> Vec<u8> {
        [&[kind], length, body].concat()
    }

    #[test]
    fn leaves_all_but_the_custom_sections() {
        let names = section(0, &[6], b"\x04name!");
        let long = section(10, &[0xc8, 0x01], &[7; 200]);
        let types = section(1, &[0x80, 0x00], &[]);
        let file = [BEGINNING, &names, &types, &names, &long, &names].concat();
        assert_eq!(bare(&file), Some([BEGINNING, &types, &long].concat()));
        assert_eq!(bare(BEGINNING).as_deref(), Some(BEGINNING));
    }

    #[test]
    fn refuses_what_is_no_wasm() {
        let whole = [BEGINNING, &section(10, &[0xc8, 0x01], &[7; 200])].concat();
        for end in (0..whole.len()).filter(|end| *end != BEGINNING.len()) {
            assert_eq!(bare(&whole[..end]), None, "cut at {end}");
        }
        assert_eq!(bare(b"\0asm\x02\0\0\0"), None);
        assert_eq!(bare(&[BEGINNING, &[10, 0xff, 0xff, 0xff, 0xff, 0xff, 0x01]].concat()), None);
    }
}
