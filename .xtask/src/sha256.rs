//! SHA-256 (FIPS 180-4), for names and policies that stand for the contents of a file.

/// The first 32 bits of the fractional parts of the cube roots of the first 64 primes (FIPS 180-4, section 4.2.2).
const ROUNDS: [u32; 64] = [
    0x428a2f98, 0x71374491, 0xb5c0fbcf, 0xe9b5dba5, 0x3956c25b, 0x59f111f1, 0x923f82a4, 0xab1c5ed5, 0xd807aa98,
    0x12835b01, 0x243185be, 0x550c7dc3, 0x72be5d74, 0x80deb1fe, 0x9bdc06a7, 0xc19bf174, 0xe49b69c1, 0xefbe4786,
    0x0fc19dc6, 0x240ca1cc, 0x2de92c6f, 0x4a7484aa, 0x5cb0a9dc, 0x76f988da, 0x983e5152, 0xa831c66d, 0xb00327c8,
    0xbf597fc7, 0xc6e00bf3, 0xd5a79147, 0x06ca6351, 0x14292967, 0x27b70a85, 0x2e1b2138, 0x4d2c6dfc, 0x53380d13,
    0x650a7354, 0x766a0abb, 0x81c2c92e, 0x92722c85, 0xa2bfe8a1, 0xa81a664b, 0xc24b8b70, 0xc76c51a3, 0xd192e819,
    0xd6990624, 0xf40e3585, 0x106aa070, 0x19a4c116, 0x1e376c08, 0x2748774c, 0x34b0bcb5, 0x391c0cb3, 0x4ed8aa4a,
    0x5b9cca4f, 0x682e6ff3, 0x748f82ee, 0x78a5636f, 0x84c87814, 0x8cc70208, 0x90befffa, 0xa4506ceb, 0xbef9a3f7,
    0xc67178f2,
];

/// The first 32 bits of the fractional parts of the square roots of the first 8 primes (section 5.3.3).
const START: [u32; 8] =
    [0x6a09e667, 0xbb67ae85, 0x3c6ef372, 0xa54ff53a, 0x510e527f, 0x9b05688c, 0x1f83d9ab, 0x5be0cd19];

/// The hash of some bytes.
pub fn sha256(bytes: &[u8]) -> [u8; 32] {
    let mut padded = bytes.to_vec();
    padded.push(0x80);
    while padded.len() % 64 != 56 {
        padded.push(0);
    }
    padded.extend((bytes.len() as u64 * 8).to_be_bytes());
    let mut state = START;
    for block in padded.chunks_exact(64) {
        let mut w = [0u32; 64];
        for (word, four) in w.iter_mut().zip(block.chunks_exact(4)) {
            *word = four.iter().fold(0, |word, &byte| word << 8 | u32::from(byte));
        }
        for t in 16..64 {
            let small0 = w[t - 15].rotate_right(7) ^ w[t - 15].rotate_right(18) ^ (w[t - 15] >> 3);
            let small1 = w[t - 2].rotate_right(17) ^ w[t - 2].rotate_right(19) ^ (w[t - 2] >> 10);
            w[t] = w[t - 16].wrapping_add(small0).wrapping_add(w[t - 7]).wrapping_add(small1);
        }
        let [mut a, mut b, mut c, mut d, mut e, mut f, mut g, mut h] = state;
        for (round, word) in ROUNDS.iter().zip(w) {
            let big1 = e.rotate_right(6) ^ e.rotate_right(11) ^ e.rotate_right(25);
            let choose = (e & f) ^ (!e & g);
            let one = h.wrapping_add(big1).wrapping_add(choose).wrapping_add(*round).wrapping_add(word);
            let big0 = a.rotate_right(2) ^ a.rotate_right(13) ^ a.rotate_right(22);
            let two = big0.wrapping_add((a & b) ^ (a & c) ^ (b & c));
            (h, g, f, e, d, c, b, a) = (g, f, e, d.wrapping_add(one), c, b, a, one.wrapping_add(two));
        }
        for (sum, x) in state.iter_mut().zip([a, b, c, d, e, f, g, h]) {
            *sum = sum.wrapping_add(x);
        }
    }
    let mut hash = [0; 32];
    for (four, word) in hash.chunks_exact_mut(4).zip(state) {
        four.copy_from_slice(&word.to_be_bytes());
    }
    hash
}

/// The hash as sixteen letters and digits: enough for a name.
pub fn short(bytes: &[u8]) -> String {
    sha256(bytes).iter().take(8).map(|byte| format!("{byte:02x}")).collect()
}

/// `sha256-...`, as policies and the integrity of a request are written.
pub fn source(bytes: &[u8]) -> String {
    format!("sha256-{}", base64(&sha256(bytes)))
}

/// Base 64 (RFC 4648, section 4).
pub fn base64(bytes: &[u8]) -> String {
    const LETTERS: &[u8; 64] = b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
    let mut text = String::with_capacity(bytes.len().div_ceil(3) * 4);
    for three in bytes.chunks(3) {
        let bits = (0..3).fold(0u32, |bits, i| bits << 8 | u32::from(three.get(i).copied().unwrap_or(0)));
        for i in 0..4 {
            let letter = LETTERS[(bits >> (18 - 6 * i) & 63) as usize];
            text.push(if i <= three.len() { char::from(letter) } else { '=' });
        }
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;

    fn hex(bytes: &[u8]) -> String {
        bytes.iter().map(|byte| format!("{byte:02x}")).collect()
    }

    /// The examples that NIST publishes for FIPS 180-4 ("SHA256.pdf", cryptographic standards and guidelines), and the hash of nothing
    /// and of a million letters a from its long-standing set.
    #[test]
    fn the_standards_own_examples() {
        let two = b"abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq";
        let million = vec![b'a'; 1_000_000];
        let all: [(&[u8], &str); 4] = [
            (b"", "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855"),
            (b"abc", "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"),
            (two, "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1"),
            (&million, "cdc76e5c9914fb9281a1c7e284d73e67f1809a48a497200e046d39ccc7112cd0"),
        ];
        for (bytes, expected) in all {
            assert_eq!(hex(&sha256(bytes)), expected);
        }
        assert_eq!(short(b"abc"), "ba7816bf8f01cfea");
    }

    /// RFC 4648, section 10.
    #[test]
    fn base_64_as_the_rfc_has_it() {
        let all =
            [("", ""), ("f", "Zg=="), ("fo", "Zm8="), ("foo", "Zm9v"), ("foob", "Zm9vYg=="), ("foobar", "Zm9vYmFy")];
        for (bytes, text) in all {
            assert_eq!(base64(bytes.as_bytes()), text);
        }
        assert_eq!(source(b""), "sha256-47DEQpj8HBSa+/TImW+5JCeuQeRkm5NMpJWZG3hSuFU=");
    }
}
