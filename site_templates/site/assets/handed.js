"use strict";
// A round as text, for the fragment of an address: which page it fits, when it was handed over, and every row and what was
// fetched, each with how many minutes before that. Numbers are written to the base 36; an empty part is a row that nobody
// looked at. W: all there; 1P: one there; 1F: one was there, all are now; 5G: five were fetched.

(() => {
  const FORM = "1";
  const MINUTE = 60 * 1000;
  const ROW = /^(?:W|([0-9a-z]{1,3})([PFG]))([0-9a-z]{1,4})$/;
  const written = (number) => number.toString(36);
  const read = (text) => parseInt(text, 36);

  // `rows` and `fetched` are ticks in the order of the page, null where there is none.
  function toText(sameRows, rows, fetched) {
    const sent = Math.floor(Date.now() / 1000) * 1000;
    const ago = (tick) => written(Math.max(0, Math.floor((sent - tick.at) / MINUTE)));
    const row = (tick) => {
      if (!tick) return "";
      if (tick.n !== undefined) return `${written(tick.n)}P${ago(tick)}`;
      return tick.had === undefined ? `W${ago(tick)}` : `${written(tick.had)}F${ago(tick)}`;
    };
    const got = (tick) => (tick ? `${written(tick.n)}G${ago(tick)}` : "");
    return [FORM, sameRows, written(sent / 1000), rows.map(row).join("-"), fetched.map(got).join("-")].join(".");
  }

  // What toText wrote: {sent, rows, fetched}, ticks without what they are made on; null when it does not fit the page.
  function fromText(text, sameRows, many, manyFetched) {
    const [form, rows, sent, ...lists] = text.split(".");
    if (form !== FORM || rows !== sameRows || !/^[0-9a-z]{6,8}$/.test(sent || "") || lists.length !== 2) return null;
    const at = read(sent) * 1000;
    const told = lists.map((list) => list.split("-").map((part) => {
      if (!part) return null;
      const found = ROW.exec(part);
      if (!found) return undefined;
      const [, number, kind, ago] = found;
      return { kind: kind || "W", number: number && read(number), at: at - read(ago) * MINUTE };
    }));
    if (told[0].length !== many || told[1].length !== manyFetched || told.flat().includes(undefined)) return null;
    if (told[0].some((one) => one && one.kind === "G") || told[1].some((one) => one && one.kind !== "G")) return null;
    const tick = (one) => one && {
      at: one.at, ...one.kind === "F" && { had: one.number }, ..."PG".includes(one.kind) && { n: one.number },
    };
    return { sent: at, rows: told[0].map(tick), fetched: told[1].map(tick) };
  }

  self.kitdocs = Object.freeze({ ...self.kitdocs, handed: Object.freeze({ toText, fromText }) });
})();
