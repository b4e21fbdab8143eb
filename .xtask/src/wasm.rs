//! Reading a finished wasm file, and taking out of it what only tools read: custom sections, of which the names of functions are a quarter of
//! the whole.
//! The compiler could leave them out, but then the wasm-bindgen tool would miss the list of features that it goes by.

/// What every wasm file of version 1 begins with.
pub const BEGINNING: &[u8] = b"\0asm\x01\0\0\0";

/// A section of a wasm file.
#[derive(Debug)]
pub struct Section<'a> {
    /// What it is.
    pub kind: u8,
    /// What it holds.
    pub body: &'a [u8],
    /// It as it stands in the file, its kind and length before it.
    pub whole: &'a [u8],
}

/// The sections of a wasm file; nothing where it is none or is cut short.
pub fn sections(file: &[u8]) -> Option<Vec<Section<'_>>> {
    let mut reader = Reader { bytes: file.strip_prefix(BEGINNING)?, at: 0 };
    let mut sections = Vec::new();
    while !reader.is_done() {
        let from = reader.at;
        let kind = reader.byte()?;
        let length = reader.number()?;
        let body = reader.take(length)?;
        sections.push(Section { kind, body, whole: reader.bytes.get(from..reader.at)? });
    }
    Some(sections)
}

/// The file without its custom sections; nothing where it is no wasm file or is cut short.
pub fn bare(file: &[u8]) -> Option<Vec<u8>> {
    let mut bare = BEGINNING.to_vec();
    for section in sections(file)?.iter().filter(|section| section.kind != 0) {
        bare.extend(section.whole);
    }
    Some(bare)
}

/// Writes a number as it stands in such a file.
pub fn write_number(mut value: usize, out: &mut Vec<u8>) {
    while value >= 0x80 {
        out.push((value & 0x7f) as u8 | 0x80);
        value >>= 7;
    }
    out.push(value as u8);
}

/// A number as it stands in such a file.
pub fn number(value: usize) -> Vec<u8> {
    let mut out = Vec::new();
    write_number(value, &mut out);
    out
}

/// A name as it stands in such a file, its length before it.
pub fn text(text: &str) -> Vec<u8> {
    [&number(text.len())[..], text.as_bytes()].concat()
}

/// Things one after the other, their count before them.
pub fn list(items: impl IntoIterator<Item = Vec<u8>, IntoIter: ExactSizeIterator>) -> Vec<u8> {
    let items = items.into_iter();
    let mut out = number(items.len());
    items.for_each(|item| out.extend(item));
    out
}

/// A function that such a file asks for.
#[derive(Debug)]
pub struct Import<'a> {
    /// Of which module.
    pub from: &'a str,
    /// Under which name.
    pub name: &'a str,
    /// The number of its type.
    pub kind: usize,
    /// It as it stands in the file.
    pub whole: &'a [u8],
}

/// What a section of imports asks for; nothing where it is anything but functions.
pub fn imports(body: &[u8]) -> Option<Vec<Import<'_>>> {
    let mut reader = Reader { bytes: body, at: 0 };
    let mut all = Vec::new();
    for _ in 0..reader.number()? {
        let start = reader.at;
        let (from, name) = (reader.name()?, reader.name()?);
        (reader.byte()? == 0).then_some(())?;
        let kind = reader.number()?;
        all.push(Import { from, name, kind, whole: body.get(start..reader.at)? });
    }
    Some(all)
}

/// Something that such a file hands out.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Export<'a> {
    /// Under which name.
    pub name: &'a str,
    /// What it is: a function, a table, a memory or a global.
    pub kind: u8,
    /// Its number among those.
    pub number: usize,
}

/// What a section of exports hands out.
pub fn exports(body: &[u8]) -> Option<Vec<Export<'_>>> {
    let mut reader = Reader { bytes: body, at: 0 };
    let mut all = Vec::new();
    for _ in 0..reader.number()? {
        all.push(Export { name: reader.name()?, kind: reader.byte()?, number: reader.number()? });
    }
    Some(all)
}

/// Adds a section to such a file.
pub fn put(out: &mut Vec<u8>, kind: u8, body: &[u8]) {
    out.push(kind);
    write_number(body.len(), out);
    out.extend(body);
}

/// A place in bytes that are being read.
#[derive(Debug)]
pub struct Reader<'a> {
    /// The bytes.
    pub bytes: &'a [u8],
    /// Where the next one stands.
    pub at: usize,
}

impl<'a> Reader<'a> {
    /// Is everything read?
    pub fn is_done(&self) -> bool {
        self.at >= self.bytes.len()
    }
    /// The next byte.
    pub fn byte(&mut self) -> Option<u8> {
        let byte = self.bytes.get(self.at).copied()?;
        self.at += 1;
        Some(byte)
    }
    /// So many bytes.
    pub fn take(&mut self, length: usize) -> Option<&'a [u8]> {
        let taken = self.bytes.get(self.at..self.at.checked_add(length)?)?;
        self.at += length;
        Some(taken)
    }
    /// A number of seven bits a byte, lowest first, of at most 32 bits.
    pub fn number(&mut self) -> Option<usize> {
        let mut value = 0;
        for shift in 0..5 {
            let byte = self.byte()?;
            value |= usize::from(byte & 0x7f) << (7 * shift);
            if byte & 0x80 == 0 {
                return Some(value);
            }
        }
        None
    }
    /// Passes over numbers of any size.
    pub fn skip(&mut self, numbers: usize) -> Option<()> {
        for _ in 0..numbers {
            while self.byte()? & 0x80 != 0 {}
        }
        Some(())
    }
    /// Passes over a name or another run of bytes with its length before it.
    pub fn skip_run(&mut self) -> Option<()> {
        let length = self.number()?;
        self.take(length).map(|_| ())
    }
    /// A piece of a section that is in pieces: its kind, and what is in it.
    pub fn inside(&mut self) -> Option<(u8, Reader<'a>)> {
        let kind = self.byte()?;
        let length = self.number()?;
        Some((kind, Reader { bytes: self.take(length)?, at: 0 }))
    }
    /// A name.
    pub fn name(&mut self) -> Option<&'a str> {
        let length = self.number()?;
        std::str::from_utf8(self.take(length)?).ok()
    }
    /// Data that is put into memory at the start: where, and what.
    pub fn segment(&mut self) -> Option<(usize, &'a [u8])> {
        // The first memory, at a constant address.
        if self.byte()? != 0 || self.byte()? != 0x41 {
            return None;
        }
        let address = self.number()?;
        if self.byte()? != 0x0b {
            return None;
        }
        let length = self.number()?;
        Some((address, self.take(length)?))
    }
    /// Passes over the size limits of a table or a memory.
    pub fn skip_limits(&mut self) -> Option<()> {
        let bounded = self.number()? & 1;
        self.skip(1 + bounded)
    }
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
