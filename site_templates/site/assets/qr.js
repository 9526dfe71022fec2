"use strict";
// A QR code as rows of modules, by ISO/IEC 18004: bytes, error correction level L, versions 1 to 25.

(() => {
  const CHECKS = [7, 10, 15, 20, 26, 18, 20, 24, 30, 18, 20, 24, 26, 30, 22, 24, 28, 30, 28, 28, 28, 28, 30, 30, 26]; // codewords a block
  const BLOCKS = [1, 1, 1, 1, 1, 2, 2, 2, 2, 4, 4, 4, 4, 4, 6, 6, 6, 6, 7, 8, 8, 9, 9, 10, 12];
  const LEVEL_L = 1;
  const MASKS = [
    (y, x) => (y + x) % 2, (y) => y % 2, (y, x) => x % 3, (y, x) => (y + x) % 3,
    (y, x) => (Math.floor(y / 2) + Math.floor(x / 3)) % 2, (y, x) => (y * x) % 2 + (y * x) % 3,
    (y, x) => ((y * x) % 2 + (y * x) % 3) % 2, (y, x) => ((y + x) % 2 + (y * x) % 3) % 2,
  ].map((of) => (y, x) => of(y, x) === 0);

  // Products in the field of 256 elements with the polynomial x^8 + x^4 + x^3 + x^2 + 1.
  function product(a, b) {
    let sum = 0;
    for (let bit = 7; bit >= 0; bit--) sum = (sum << 1) ^ ((sum >> 7) * 0x11d) ^ (((b >> bit) & 1) * a);
    return sum;
  }

  function divisor(degree) {
    const made = [...Array(degree - 1).fill(0), 1];
    for (let n = 0, root = 1; n < degree; n++, root = product(root, 2)) {
      for (let at = 0; at < degree; at++) made[at] = product(made[at], root) ^ (made[at + 1] || 0);
    }
    return made;
  }

  function checksOf(data, by) {
    const rest = by.map(() => 0);
    for (const byte of data) {
      const factor = byte ^ rest.shift();
      rest.push(0);
      by.forEach((part, at) => { rest[at] ^= product(part, factor); });
    }
    return rest;
  }

  // Number with its checks by a binary polynomial, as format and version are written.
  function checked(number, bits, polynomial) {
    let rest = number;
    const top = 31 - Math.clz32(polynomial);
    for (let n = 0; n < top; n++) rest = (rest << 1) ^ ((rest >> (top - 1)) & 1 ? polynomial : 0);
    return (number << top) | (rest & ((1 << top) - 1));
  }

  const sizeOf = (version) => version * 4 + 17;

  function aligned(version) {
    if (version === 1) return [];
    const many = Math.floor(version / 7) + 2;
    const step = Math.ceil((version * 4 + 4) / (many * 2 - 2)) * 2;
    const last = sizeOf(version) - 7;
    return [6, ...Array.from({ length: many - 1 }, (_, n) => last - (many - 2 - n) * step)];
  }

  function bytesIn(version) {
    const many = aligned(version).length;
    const fixed = many ? 25 * many * many - 10 * many - 55 : 0; // modules of alignment marks that lie on no other pattern
    const modules = (16 * version + 128) * version + 64 - fixed - (version >= 7 ? 36 : 0);
    return Math.floor(modules / 8);
  }

  function codewords(bytes, version) {
    const all = bytesIn(version);
    const [checks, blocks] = [CHECKS[version - 1], BLOCKS[version - 1]];
    const room = all - checks * blocks;
    const long = version >= 10 ? 16 : 8; // bits of the length
    const bits = [0, 1, 0, 0, ...Array.from({ length: long }, (_, n) => (bytes.length >> (long - 1 - n)) & 1),
      ...bytes.flatMap((byte) => Array.from({ length: 8 }, (_, n) => (byte >> (7 - n)) & 1)), 0, 0, 0, 0].slice(0, room * 8);
    while (bits.length % 8) bits.push(0);
    const data = Array.from({ length: bits.length / 8 }, (_, n) => bits.slice(n * 8, n * 8 + 8).reduce((sum, bit) => sum * 2 + bit, 0));
    for (let pad = 0xec; data.length < room; pad ^= 0xec ^ 0x11) data.push(pad);
    const short = Math.floor(room / blocks);
    const by = divisor(checks);
    const parts = Array.from({ length: blocks }, (_, n) => {
      const start = n * short + Math.max(0, n - (blocks - room % blocks));
      return data.slice(start, start + short + (n >= blocks - room % blocks ? 1 : 0));
    });
    const woven = (columns) => Array.from({ length: Math.max(...columns.map((one) => one.length)) }, (_, n) => n)
      .flatMap((n) => columns.filter((one) => n < one.length).map((one) => one[n]));
    return [...woven(parts), ...woven(parts.map((part) => checksOf(part, by)))];
  }

  // Rows in which null is a module that holds data.
  function patterns(version) {
    const size = sizeOf(version);
    const rows = Array.from({ length: size }, () => Array(size).fill(null));
    const put = (y, x, dark) => { if (rows[y] && x >= 0 && x < size) rows[y][x] = Boolean(dark); };
    for (let n = 0; n < size; n++) {
      put(6, n, n % 2 === 0);
      put(n, 6, n % 2 === 0);
    }
    for (const [top, left] of [[3, 3], [3, size - 4], [size - 4, 3]]) {
      for (let y = -4; y <= 4; y++) {
        for (let x = -4; x <= 4; x++) {
          const far = Math.max(Math.abs(y), Math.abs(x));
          put(top + y, left + x, far !== 2 && far !== 4);
        }
      }
    }
    const at = aligned(version);
    for (const [n, top] of at.entries()) {
      for (const [m, left] of at.entries()) {
        const corner = (!n && !m) || (!n && m === at.length - 1) || (n === at.length - 1 && !m);
        for (let y = -2; !corner && y <= 2; y++) for (let x = -2; x <= 2; x++) put(top + y, left + x, Math.max(Math.abs(y), Math.abs(x)) !== 1);
      }
    }
    const told = version >= 7 ? checked(version, 6, 0x1f25) : 0;
    for (let n = 0; version >= 7 && n < 18; n++) {
      const [y, x] = [Math.floor(n / 3), size - 11 + n % 3];
      put(y, x, (told >> n) & 1);
      put(x, y, (told >> n) & 1);
    }
    return { rows, put, size };
  }

  function putFormat({ put, size }, mask) {
    const format = checked((LEVEL_L << 3) | mask, 5, 0x537) ^ 0x5412;
    for (let n = 0; n < 15; n++) {
      const dark = (format >> n) & 1;
      if (n < 6) put(n, 8, dark); else if (n < 8) put(n + 1, 8, dark); else put(8, n === 8 ? 7 : 14 - n, dark);
      if (n < 8) put(8, size - 1 - n, dark); else put(size - 15 + n, 8, dark);
    }
    put(size - 8, 8, true);
  }

  function putData({ rows, size }, words, mask) {
    let n = 0;
    for (let right = size - 1, up = true; right > 0; right -= right === 8 ? 3 : 2, up = !up) {
      for (let step = 0; step < size; step++) {
        for (const x of [right, right - 1]) {
          const y = up ? size - 1 - step : step;
          if (rows[y][x] !== null) continue;
          const bit = n < words.length * 8 && (words[n >> 3] >> (7 - (n & 7))) & 1;
          n++;
          rows[y][x] = Boolean(bit) !== MASKS[mask](y, x);
        }
      }
    }
  }

  // How hard a code is to read, by the standard's four faults.
  function penalty(rows) {
    const lines = [rows, rows[0].map((_, x) => rows.map((row) => row[x]))].flatMap((turned) => turned.map((row) => row.map(Number).join("")));
    let sum = 0;
    for (const line of lines) {
      for (const run of line.match(/0{5,}|1{5,}/g) || []) sum += run.length - 2;
      sum += 40 * (line.match(/(?=10111010000|00001011101)/g) || []).length;
    }
    for (let y = 1; y < rows.length; y++) {
      for (let x = 1; x < rows.length; x++) {
        if (rows[y][x] === rows[y][x - 1] && rows[y][x] === rows[y - 1][x] && rows[y][x] === rows[y - 1][x - 1]) sum += 3;
      }
    }
    const share = rows.flat().filter(Boolean).length / rows.length ** 2;
    return sum + 10 * Math.floor(Math.abs(share * 20 - 10));
  }

  function drawn(words, version, mask) {
    const code = patterns(version);
    putFormat(code, mask);
    putData(code, words, mask);
    return code.rows;
  }

  // Rows of modules, true where dark; null for a text that is too long.
  function qr(text) {
    const bytes = [...new TextEncoder().encode(text)];
    const fits = (version) => bytes.length + (version >= 10 ? 3 : 2) <= bytesIn(version) - CHECKS[version - 1] * BLOCKS[version - 1];
    const version = CHECKS.findIndex((_, n) => fits(n + 1)) + 1;
    if (!version) return null;
    const words = codewords(bytes, version);
    const tried = MASKS.map((_, mask) => drawn(words, version, mask));
    return tried.reduce((best, rows) => (penalty(rows) < penalty(best) ? rows : best));
  }

  self.kitdocs = Object.freeze({ ...self.kitdocs, qr });
})();
