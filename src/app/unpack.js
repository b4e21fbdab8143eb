// Unpacks what the one file that all of the app is in carries as text; a site has its files as they are. The text is made in
// .xtask/src/onefile.rs: LZMA (as its author published it, without a header; 4 bits of context, none of position), seven bits a letter.

/** What the letters say: seven bits each, and fourteen where the first seven would be a letter that a page does not keep. */
function letters(text) {
  const away = [0, 13, 60];
  const bytes = new Uint8Array((text.length * 7) >> 2);
  let [held, bits, end] = [0, 0, 0];
  const take = (seven) => {
    held = ((held << 7) | seven) & 0xffff;
    bits += 7;
    if (bits < 8) return;
    bits -= 8;
    bytes[end] = held >> bits;
    end += 1;
  };
  for (let at = 0; at < text.length; at += 1) {
    const code = text.charCodeAt(at);
    if (code > 127) take(away[(code >> 7) - 1]);
    take(code & 127);
  }
  return bytes.subarray(0, end);
}

/** The `length` bytes that were packed into these. */
function unpack(bytes, length) {
  const out = new Uint8Array(length);
  const even = (count) => new Uint16Array(count).fill(1024);
  let at = 5;
  let range = 0xffffffff;
  let code = new DataView(bytes.buffer, bytes.byteOffset).getUint32(1);

  const more = () => {
    if (range >= 0x1000000) return;
    if (at >= bytes.length) throw new Error("this file is not whole");
    range *= 256;
    code = code * 256 + bytes[at];
    at += 1;
  };
  /** The next bit, where `odds` at `i` say how often it was 0. */
  const bit = (odds, i) => {
    const odd = odds[i];
    const bound = (range >>> 11) * odd;
    const one = code >= bound;
    if (one) {
      range -= bound;
      code -= bound;
      odds[i] = odd - (odd >> 5);
    } else {
      range = bound;
      odds[i] = odd + ((2048 - odd) >> 5);
    }
    more();
    return one ? 1 : 0;
  };
  /** So many bits, the highest first. */
  const high = (odds, from, count) => {
    let all = 1;
    for (let i = 0; i < count; i += 1) all = (all << 1) | bit(odds, from + all);
    return all - (1 << count);
  };
  /** So many bits, the lowest first. */
  const low = (odds, from, count) => {
    let [all, node] = [0, 1];
    for (let i = 0; i < count; i += 1) {
      const one = bit(odds, from + node);
      node = (node << 1) | one;
      all |= one << i;
    }
    return all;
  };
  /** So many bits, the highest first, each as often 0 as 1. */
  const plain = (count) => {
    let all = 0;
    for (let i = 0; i < count; i += 1) {
      range >>>= 1;
      const one = code >= range;
      if (one) code -= range;
      all = (all << 1) | one;
      more();
    }
    return all;
  };
  const lengths = () => {
    const [which, short, middle, long] = [even(2), even(8), even(8), even(256)];
    return () => {
      if (!bit(which, 0)) return 2 + high(short, 0, 3);
      if (!bit(which, 1)) return 10 + high(middle, 0, 3);
      return 18 + high(long, 0, 8);
    };
  };

  const [matched, again, first, second, third, short] = [12, 12, 12, 12, 12, 12].map(even);
  const [letter, slots, near, align] = [16 * 0x300, 4 * 64, 128, 16].map(even);
  const [fresh, repeated] = [lengths(), lengths()];
  const back = [0, 0, 0, 0];
  let [state, end] = [0, 0];
  while (end < length) {
    if (!bit(matched, state)) {
      const from = 0x300 * ((end ? out[end - 1] : 0) >> 4);
      let node = 1;
      if (state >= 7) {
        let like = out[end - back[0] - 1];
        let same = true;
        while (same && node < 256) {
          const one = (like >> 7) & 1;
          like <<= 1;
          const now = bit(letter, from + ((1 + one) << 8) + node);
          node = (node << 1) | now;
          same = one === now;
        }
      }
      while (node < 256) node = (node << 1) | bit(letter, from + node);
      out[end] = node;
      end += 1;
      state = state < 4 ? 0 : state < 10 ? state - 3 : state - 6;
      continue;
    }
    let count = 1;
    if (!bit(again, state)) {
      count = fresh();
      back.unshift(high(slots, 64 * Math.min(count - 2, 3), 6));
      back.pop();
      if (back[0] >= 4) {
        const [slot, more] = [back[0], (back[0] >> 1) - 1];
        const base = (2 | (slot & 1)) << more;
        back[0] = slot < 14 ? base + low(near, base - slot, more) : base + plain(more - 4) * 16 + low(align, 0, 4);
      }
      state = state < 7 ? 7 : 10;
    } else {
      let which = 0;
      let one = false;
      if (bit(first, state)) which = bit(second, state) ? 2 + bit(third, state) : 1;
      else one = !bit(short, state);
      back.unshift(...back.splice(which, 1));
      if (!one) count = repeated();
      state = one ? (state < 7 ? 9 : 11) : state < 7 ? 8 : 11;
    }
    if (back[0] >>> 0 >= end || end + count > length) throw new Error("this file was changed");
    for (const until = end + count; end < until; end += 1) out[end] = out[end - back[0] - 1];
  }
  return out;
}
