"use strict";
// Unpacks the page: the program, the styles and the script of the desk, one after the other. They are packed by LZMA (Igor
// Pavlov's, the format "lzma alone": 5 bytes of settings, 8 of length, then a range-coded stream), which takes a quarter less
// than what browsers unpack themselves. The file is UTF-16, and each letter from 4000 to BFFF (hex) holds fifteen bits: of these
// no reader changes any.
const lettersToBytes = (text) => {
  const bytes = new Uint8Array(Math.floor(text.length * 15 / 8));
  let held = 0, bits = 0, at = 0;
  for (let n = 0; n < text.length; n += 1) {
    held = (held << 15) | (text.charCodeAt(n) - 0x4000);
    for (bits += 15; bits >= 8; at += 1) {
      bits -= 8;
      bytes[at] = held >>> bits;
    }
    held &= 0xFF;
  }
  return bytes;
};
const unpacked = (from, size) => {
  const settings = from[0], lc = settings % 9, lp = Math.floor(settings / 9) % 5, pb = Math.floor(settings / 45);
  const out = new Uint8Array(size);
  // Every choice of a bit has a chance of its own, in 2048ths, which learns from each answer.
  const evens = (count) => new Uint16Array(count).fill(1024);
  const lengths = () => ({ long: evens(2), short: evens(16 << 3), middle: evens(16 << 3), rest: evens(256) });
  const literal = evens(0x300 << (lc + lp)), isMatch = evens(12 << 4), isAgain = evens(12), isOther = evens(12);
  const isLong = evens(12 << 4), isThird = evens(12), isFourth = evens(12), slots = evens(4 << 6), near = evens(128), low = evens(16);
  const fresh = lengths(), repeated = lengths();
  // Range and code, which need all of 32 bits: held in an array, they are numbers of the machine and not things to be collected.
  const coder = new Uint32Array([0xFFFFFFFF, (from[14] << 24) | (from[15] << 16) | (from[16] << 8) | from[17]]);
  let at = 18;
  const bit = (chances, which) => {
    const chance = chances[which];
    let range = coder[0], code = coder[1], one = 0;
    const bound = Math.imul(range >>> 11, chance) >>> 0;
    if (code < bound) {
      range = bound;
      chances[which] = chance + ((2048 - chance) >> 5);
    } else {
      range = (range - bound) >>> 0;
      code = (code - bound) >>> 0;
      chances[which] = chance - (chance >> 5);
      one = 1;
    }
    if (range < 0x1000000) {
      range = (range << 8) >>> 0;
      code = ((code << 8) | from[at]) >>> 0;
      at += 1;
    }
    coder[0] = range;
    coder[1] = code;
    return one;
  };
  const tree = (chances, start, bits) => {
    let node = 1;
    for (let n = 0; n < bits; n += 1) node = (node << 1) | bit(chances, start + node);
    return node - (1 << bits);
  };
  const backwards = (chances, start, bits) => {
    let node = 1, value = 0;
    for (let n = 0; n < bits; n += 1) {
      const one = bit(chances, start + node);
      node = (node << 1) | one;
      value |= one << n;
    }
    return value;
  };
  const even = (bits) => {
    let value = 0;
    for (let n = 0; n < bits; n += 1) {
      coder[0] >>>= 1;
      const one = coder[1] >= coder[0] ? 1 : 0;
      if (one) coder[1] -= coder[0];
      value = (value << 1) | one;
      if (coder[0] < 0x1000000) {
        coder[0] <<= 8;
        coder[1] = (coder[1] << 8) | from[at];
        at += 1;
      }
    }
    return value;
  };
  const lengthBy = (kind, place) => {
    if (!bit(kind.long, 0)) return 2 + tree(kind.short, place << 3, 3);
    if (!bit(kind.long, 1)) return 10 + tree(kind.middle, place << 3, 3);
    return 18 + tree(kind.rest, 0, 8);
  };
  let state = 0, back = 0, back2 = 0, back3 = 0, back4 = 0, done = 0;
  while (done < size) {
    const place = done & ((1 << pb) - 1);
    if (!bit(isMatch, (state << 4) + place)) {
      const before = done ? out[done - 1] : 0;
      const start = 0x300 * (((done & ((1 << lp) - 1)) << lc) + (before >> (8 - lc)));
      let node = 1;
      if (state >= 7) {
        let theirs = out[done - back - 1];
        while (node < 0x100) {
          const one = bit(literal, start + ((1 + (theirs >> 7)) << 8) + node);
          node = (node << 1) | one;
          if (theirs >> 7 !== one) break;
          theirs = (theirs << 1) & 0xFF;
        }
      }
      while (node < 0x100) node = (node << 1) | bit(literal, start + node);
      out[done] = node;
      done += 1;
      state = state < 4 ? 0 : state < 10 ? state - 3 : state - 6;
      continue;
    }
    let count;
    if (bit(isAgain, state)) {
      if (!bit(isOther, state)) {
        if (!bit(isLong, (state << 4) + place)) {
          state = state < 7 ? 9 : 11;
          out[done] = out[done - back - 1];
          done += 1;
          continue;
        }
      } else {
        let distance = back2;
        if (bit(isThird, state)) {
          distance = back3;
          if (bit(isFourth, state)) {
            distance = back4;
            back4 = back3;
          }
          back3 = back2;
        }
        back2 = back;
        back = distance;
      }
      count = lengthBy(repeated, place);
      state = state < 7 ? 8 : 11;
    } else {
      count = lengthBy(fresh, place);
      state = state < 7 ? 7 : 10;
      back4 = back3;
      back3 = back2;
      back2 = back;
      back = tree(slots, Math.min(count - 2, 3) << 6, 6);
      if (back >= 4) {
        const bits = (back >> 1) - 1, slot = back;
        back = (2 | (slot & 1)) << bits;
        if (slot < 14) back += backwards(near, back - slot, bits);
        else back += (even(bits - 4) << 4) + backwards(low, 0, 4);
      }
      if (back < 0 || back >= done) throw new Error("the file is torn");
    }
    for (const end = Math.min(done + count, size); done < end; done += 1) out[done] = out[done - back - 1];
  }
  return out;
};

// By this alone text becomes markup or script; the page's policy knows the hash of each script besides.
const rooms = globalThis.trustedTypes
  ? trustedTypes.createPolicy("rooms", { createHTML: (text) => text, createScript: (text) => text })
  : { createHTML: (text) => text, createScript: (text) => text };
const packedProgram = (() => {
  const packed = document.getElementById("program");
  const lengths = packed.dataset.bytes.split(" ").map(Number);
  try {
    const whole = unpacked(lettersToBytes(packed.textContent), lengths[0] + lengths[1] + lengths[2]);
    packed.remove();
    const text = (from, length) => new TextDecoder().decode(whole.subarray(from, from + length));
    const style = document.createElement("style"), script = document.createElement("script");
    style.textContent = text(lengths[0], lengths[1]);
    script.text = rooms.createScript(text(lengths[0] + lengths[1], lengths[2]));
    document.head.append(style);
    // The script finds the rest of the page before it, and the program by this function's answer.
    setTimeout(() => document.body.append(script));
    return whole.subarray(0, lengths[0]);
  } catch (error) {
    document.getElementById("my-start").textContent = `This page cannot be unpacked: ${error.message}. Take a fresh copy of the file.`;
    return null;
  }
})();
