//! A text as a square that a camera reads (ISO/IEC 18004), as data: whoever draws it draws black on white.

use qrcodegen::{QrCode, QrCodeEcc, QrSegment, Version};

/// The largest version that another phone still reads from a phone's screen.
pub const LARGEST: u8 = 20;
/// Light modules that must stand around it on every side.
pub const QUIET: i32 = 4;

/// The square.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Symbol {
    /// Its version, 1 to [`LARGEST`].
    pub version: u8,
    /// Modules along one side, the quiet ones included.
    pub side: i32,
    /// The dark modules as one path, in modules from the outer corner.
    pub path: String,
}

/// The symbol of a text at level M; nothing if it would be too large.
pub fn symbol(text: &str) -> Option<Symbol> {
    // What stands after the mark of a link is of the compact set of characters; what stands before is not.
    let cut = text.find('#').map_or(0, |at| at + 1);
    let (address, code) = text.split_at(cut);
    let compact =
        |c: &str| c.bytes().all(|b| b.is_ascii_digit() || b.is_ascii_uppercase() || b" $%*+-./:".contains(&b));
    let code = if compact(code) { QrSegment::make_alphanumeric(code) } else { QrSegment::make_bytes(code.as_bytes()) };
    let all = [QrSegment::make_bytes(address.as_bytes()), code];
    let parts = if cut == 0 { &all[1..] } else { &all[..] };
    let most = Version::new(LARGEST);
    let qr = QrCode::encode_segments_advanced(parts, QrCodeEcc::Medium, Version::MIN, most, None, true).ok()?;
    let mut path = String::new();
    for y in 0..qr.size() {
        let mut x = 0;
        while x < qr.size() {
            let run = (x..qr.size()).take_while(|&at| qr.get_module(at, y)).count() as i32;
            if run > 0 {
                path += &format!("M{} {}h{run}v1h-{run}z", x + QUIET, y + QUIET);
            }
            x += run.max(1);
        }
    }
    Some(Symbol { version: qr.version().value(), side: qr.size() + 2 * QUIET, path })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Reads a symbol with a decoder that shares nothing with the encoder, from a picture of a few points a module.
    pub(in crate::session) fn read(s: &Symbol) -> String {
        const SCALE: usize = 4;
        let mut dark = vec![];
        for run in s.path.split_terminator('z') {
            let n: Vec<i32> = run.split(['M', ' ', 'h', 'v', '-']).filter_map(|n| n.parse().ok()).collect();
            dark.extend((n[0]..n[0] + n[2]).map(|x| (x, n[1])));
        }
        let at = |x: usize, y: usize| dark.contains(&((x / SCALE) as i32, (y / SCALE) as i32));
        let side = s.side as usize;
        let mut modules = vec![false; side * side];
        for y in 0..side {
            for x in 0..side {
                modules[y * side + x] = at(x * SCALE, y * SCALE);
            }
        }
        let point = |x: usize, y: usize| if modules[y / SCALE * side + x / SCALE] { 0 } else { 255 };
        let mut picture = rqrr::PreparedImage::prepare_from_greyscale(side * SCALE, side * SCALE, point);
        let grids = picture.detect_grids();
        assert_eq!(grids.len(), 1, "the decoder finds {} symbols", grids.len());
        grids[0].decode().expect("the decoder reads it").1
    }

    #[test]
    fn an_independent_decoder_reads_it() {
        let long = format!("https://club.example/tools/#/C/{}", "K3X9".repeat(200));
        for text in ["https://club.example/tools/#/C/AB2", "AB2", "plain words, ä", &long] {
            let s = symbol(text).expect("fits");
            assert_eq!(read(&s), text);
        }
        assert!(symbol(&"K3".repeat(500)).is_none(), "970 characters fit version 20 at level M, 1000 do not");
        assert_eq!(symbol(&"K".repeat(970)).expect("fits").version, 20);
    }
}
