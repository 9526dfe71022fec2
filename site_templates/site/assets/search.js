"use strict";
// Search without a server: every word that is typed must begin a word of the answer, thing or card, in any language of
// the handbook, and small words count only where there is nothing else. When nothing is found so, names with a slip
// count, then of what went wrong the answers that have most of the words, then a slip in any word.

(() => {
  const { root, say, count, element } = self.kitdocs;
  const { answers, cards, things, plurals } = self.KITDOCS_INDEX;
  const small = new Set(self.KITDOCS_INDEX.small);
  const MOST = 40;
  const FEW = 4; // places that are named at once; more are folded away
  const LINE = 110; // letters of the line that shows what was found on a card

  const form = document.querySelector("[data-find]");
  const field = form.querySelector("input");
  const told = form.querySelector("[role=status]");
  const found = document.querySelector("[data-found]");
  const otherwise = document.querySelector("[data-unless-found]");

  // How far a typed word is from a word that is known: 0 when it begins it, else the slips between the two.
  const folded = (text) => text.normalize("NFD").replace(/\p{M}/gu, "").toLowerCase()
    .replaceAll("ß", "ss").replaceAll("œ", "oe").replaceAll("æ", "ae");
  const wordsOf = (text) => folded(text).match(/[\p{L}\p{N}]+/gu) || [];

  // What a name is when the gaps between its words are not typed: birdbeak, beakplier, birdbeakplier.
  function joinedWordsOf(name) {
    const words = wordsOf(name);
    const joined = words.slice(1).map((word, at) => words[at] + word);
    return words.length > 2 ? [...joined, words.join("")] : joined;
  }

  // What a typed word may be when it is a plural, in the languages of the handbook: pliers, bodies, sillones, Zangen.
  function singulars(typed) {
    return plurals
      .filter(([end]) => typed.length > end.length + 2 && typed.endsWith(end))
      .map(([end, instead]) => typed.slice(0, -end.length) + instead);
  }

  // Short words are too near to each other for any slip.
  const slipsAllowed = (length) => (length < 4 ? 0 : length < 6 ? 1 : length < 9 ? 2 : 3);

  // Letters wrong, missing, too many, or two in each other's place, between `typed` and the nearest beginning of
  // `word`: the optimal string alignment distance, worked out row by row.
  function slips(typed, word) {
    let before = [];
    let last = Array.from({ length: word.length + 1 }, (_, at) => at);
    for (let i = 1; i <= typed.length; i += 1) {
      const row = [i];
      for (let j = 1; j <= word.length; j += 1) {
        const same = typed[i - 1] === word[j - 1];
        row[j] = Math.min(last[j] + 1, row[j - 1] + 1, last[j - 1] + (same ? 0 : 1));
        if (i > 1 && j > 1 && typed[i - 1] === word[j - 2] && typed[i - 2] === word[j - 1]) {
          row[j] = Math.min(row[j], before[j - 2] + 1);
        }
      }
      [before, last] = [last, row];
    }
    return Math.min(...last);
  }

  function begins(typed, word) {
    return [typed, ...singulars(typed)].some((one) => word.startsWith(one));
  }

  function distance(typed, word) {
    if (begins(typed, word)) return 0;
    const allowed = slipsAllowed(typed.length);
    if (word.length < typed.length - allowed) return Infinity;
    const found = slips(typed, word.slice(0, typed.length + allowed));
    return found <= allowed ? found : Infinity;
  }

  // The earlier a field stands here, the more a hit in it counts: name, name without gaps, names in other languages,
  // what is said of it, all other words.
  function fieldsOf(name, others, said, more) {
    const names = [wordsOf(name), joinedWordsOf(name), others.flatMap((other) => [...wordsOf(other), ...joinedWordsOf(other)])];
    return [...names, wordsOf(said), wordsOf(more)].map((words) => [...new Set(words)]);
  }
  const saidOf = (answer) => answer.a.join(" ");
  const known = [
    ...answers.map((answer) => ({ answer, fields: [answer.q, answer.h, answer.o.join(" "), saidOf(answer)].map(wordsOf) })),
    ...things.map((thing) => ({ thing, fields: fieldsOf(thing.n, thing.o, thing.d, "") })),
    ...cards.map((card) => ({ card, fields: fieldsOf(card.t, card.o, `${card.s} ${card.w || ""} ${card.k}`, card.x.join(" ")) })),
  ];

  const named = known.map((entry) => ({ ...entry, fields: entry.fields.slice(0, -1) }));
  const linesOf = new Map(); // the words of each line, once they are asked for

  // A word that is there as typed goes before one that only begins so; of two letters, wherever it stands: a code.
  const asTyped = (typed, word) => (word === typed ? 0 : !begins(typed, word) ? Infinity : typed.length < 3 ? 3.5 : 0.25);

  // The same few thousand words are met on many cards: each is compared once.
  function remembered(compare) {
    const memory = new Map();
    return (typed, word) => {
      const key = `${typed} ${word}`;
      if (!memory.has(key)) memory.set(key, compare(typed, word));
      return memory.get(key);
    };
  }

  // What repeats other cards goes after them.
  function rank(entry, asked, compare, step) {
    let sum = entry.card && entry.card.z ? step : 0;
    for (const typed of asked) {
      let best = Infinity;
      entry.fields.forEach((words, at) => {
        for (const word of words) best = Math.min(best, compare(typed, word) + at * step);
      });
      sum += best;
    }
    return sum;
  }

  function look(asked, compare, step, within = known) {
    return within
      .map((entry, order) => ({ entry, order, rank: rank(entry, asked, compare, step) }))
      .filter((hit) => hit.rank < Infinity)
      .sort((a, b) => a.rank - b.rank || a.order - b.order);
  }

  // Only the nearest: what is a slip further away was not meant.
  function nearest(asked, within) {
    const compare = remembered(distance);
    const ways = asked.length > 1 ? [asked, [asked.join("")]] : [asked];
    const hits = ways.map((words) => look(words, compare, 0.3, within)).find((some) => some.length) || [];
    return hits.filter((hit) => hit.rank <= hits[0].rank + 0.6);
  }

  // Of what went wrong, whatever has most of the words that were typed.
  function partly(asked) {
    const meant = asked.filter((typed) => typed.length > 2);
    const hits = known.filter(({ answer }) => answer).map((entry) => ({
      entry, rank: -meant.filter((typed) => rank(entry, [typed], asTyped, 1) < 3).length,
    }));
    const best = Math.min(0, ...hits.map((hit) => hit.rank));
    return best < 0 ? hits.filter((hit) => hit.rank === best) : [];
  }

  // Small words mean nothing beside others.
  function meaning(typed) {
    const others = typed.filter((word) => !small.has(word));
    return others.length ? others : typed;
  }

  // The line of a card that has most of the words, around the first of them; none where its name or subtitle has all.
  function lineOf(card, asked) {
    const has = (words, typed) => words.some((word) => begins(typed, word));
    const above = wordsOf([card.t, card.s, card.k, card.w, ...card.o].join(" "));
    if (asked.every((typed) => has(above, typed))) return "";
    if (!linesOf.has(card)) linesOf.set(card, card.x.map(wordsOf));
    const most = linesOf.get(card).map((words, at) => ({ line: card.x[at], n: asked.filter((typed) => has(words, typed)).length }))
      .reduce((best, one) => (one.n > best.n ? one : best), { line: "", n: 0 });
    const words = most.line.split(" ");
    const at = words.findIndex((word) => asked.some((typed) => has(wordsOf(word), typed)));
    let from = 0;
    while (from < at && words.slice(from, at + 1).join(" ").length > LINE / 2) from += 1;
    let to = words.length;
    while (to > at + 1 && words.slice(from, to).join(" ").length > LINE) to -= 1;
    return `${from ? "… " : ""}${words.slice(from, to).join(" ")}${to < words.length ? " …" : ""}`;
  }

  function picture(path, name) {
    return element("img", { src: root + encodeURI(path), alt: "", className: name });
  }

  // What went wrong, and the first thing to do; a mark where there is more to do.
  function answerHit({ answer }) {
    const all = answer.a.join(" ");
    const sentences = all.match(/[^.?!]*[.?!]+/g) || [all];
    let first = "";
    for (const next of sentences) {
      if (first && !first.endsWith("?") && `${first}${next}`.length > LINE) break;
      first += next;
    }
    if (first.trim().length < all.length) first += " …";
    const words = element("span", {}, element("span", { className: "name" }, answer.q), " ", element("span", { className: "first" }, first));
    return element("li", {}, element("a", { className: "line went-wrong", href: root + encodeURI(answer.u) }, words));
  }

  function cardHit({ card }, asked) {
    const said = lineOf(card, asked);
    const words = element("span", {}, element("span", { className: "name" }, card.t), " ",
      element("span", { className: "detail" }, [card.k, card.s].filter(Boolean).join(" · ")));
    if (said) words.append(" ", element("span", { className: "first" }, said));
    const line = element("a", { className: card.p ? "line thing" : "line", href: root + encodeURI(card.u) }, words);
    line.prepend(...(card.p || []).map((path) => picture(path, "tip")));
    if (card.c) line.prepend(chip(card));
    return element("li", {}, line);
  }

  // A page carries the colours only of the bands that it was written with: this one comes later.
  function chip(card) {
    const made = element("span", { className: `chip ${card.c}` }, card.m ? picture(card.m, "mark") : card.w);
    const [, colour, ink] = /\bc-(\w+)-(\w+)/.exec(card.c);
    made.style.setProperty("--band", `#${colour}`);
    made.style.setProperty("--on-band", `#${ink}`);
    return made;
  }

  function thingHit({ thing }) {
    const words = element("span", {}, element("span", { className: "name" }, thing.n), " ", element("span", { className: "detail" }, thing.d));
    const places = thing.i.map((number) => cards[number]).map((card) =>
      element("a", { className: "place-link", href: root + encodeURI(card.u) }, [card.t, card.s].filter(Boolean).join(" · ")));
    const links = places.flatMap((link) => [link, " "]);
    return element("li", {},
      element("div", { className: "line thing" }, ...thing.p.map((path) => picture(path, "tip")), words),
      places.length > FEW
        ? element("details", { className: "places" }, element("summary", {}, count("in_many", places.length)), ...links)
        : element("div", { className: "places" }, found.dataset.in, " ", ...links));
  }

  function search() {
    const asked = meaning(wordsOf(field.value));
    const asking = asked.length > 0;
    found.hidden = !asking;
    otherwise.hidden = asking;
    history.replaceState(null, "", asking ? `#q=${encodeURIComponent(field.value)}` : location.pathname + location.search);
    if (!asking) {
      told.textContent = "";
      found.replaceChildren();
      return;
    }
    let hits = look(asked, asTyped, 1);
    const exact = hits.length > 0;
    for (const otherwise of [() => nearest(asked, named), () => partly(asked), () => nearest(asked)]) {
      if (!hits.length) hits = otherwise();
    }
    told.textContent = exact ? count("found", hits.length) : say(hits.length ? "similar" : "none");
    const draw = ({ entry }) => (entry.answer ? answerHit(entry) : entry.thing ? thingHit(entry) : cardHit(entry, asked));
    found.replaceChildren(element("ul", { className: "everything" }, ...hits.slice(0, MOST).map(draw)));
  }

  // Arrow keys walk from the field through the results and back.
  function walk(event) {
    const step = { ArrowDown: 1, ArrowUp: -1 }[event.key];
    const links = [field, ...[...found.querySelectorAll("a, summary")].filter((link) => link.checkVisibility())];
    const at = links.indexOf(document.activeElement);
    if (!step || at < 0 || found.hidden) return;
    event.preventDefault();
    links[Math.max(0, Math.min(links.length - 1, at + step))].focus();
  }

  form.addEventListener("submit", (event) => {
    event.preventDefault();
    const first = found.querySelector("a");
    if (first) first.focus();
  });
  field.addEventListener("input", search);
  document.addEventListener("keydown", walk);
  const asked = new URLSearchParams(location.hash.slice(1)).get("q");
  if (asked) {
    field.value = asked;
    search();
  }
  else if (matchMedia("(pointer: fine)").matches) field.focus({ preventScroll: true });
})();
