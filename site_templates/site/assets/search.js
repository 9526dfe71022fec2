"use strict";
// Search without a server: every word that is typed must begin a word of the card or thing.

(() => {
  const { root, say, element } = self.kitdocs;
  const { cards, things } = self.KITDOCS_INDEX;
  const MOST = 40;
  const FEW = 4; // places that are named at once; more are folded away

  const form = document.querySelector("[data-find]");
  const field = form.querySelector("input");
  const told = form.querySelector("[role=status]");
  const found = document.querySelector("[data-found]");
  const otherwise = document.querySelector("[data-unless-found]");

  const folded = (text) => text.normalize("NFD").replace(/\p{M}/gu, "").toLowerCase();
  const wordsOf = (text) => folded(text).match(/[\p{L}\p{N}]+/gu) || [];

  // The earlier a field stands here, the more a hit in it counts.
  const known = [
    ...cards.map((card) => ({ card, fields: [card.t, `${card.s} ${card.w || ""} ${card.k}`, card.x].map(wordsOf) })),
    ...things.map((thing) => ({ thing, fields: [thing.n, thing.d].map(wordsOf) })),
  ];

  function rank(entry, asked, same) {
    let sum = 0;
    for (const word of asked) {
      const at = entry.fields.findIndex((words) => words.some((one) => same(one, word)));
      if (at < 0) return -1;
      sum += at;
    }
    return sum;
  }

  function look(asked, same) {
    return known
      .map((entry, order) => ({ entry, order, rank: rank(entry, asked, same) }))
      .filter((hit) => hit.rank >= 0)
      .sort((a, b) => a.rank - b.rank || a.order - b.order)
      .map((hit) => hit.entry);
  }

  const begins = (word, typed) => word.startsWith(typed);

  // One letter wrong, missing, too many, or two in each other's place: a name that was only heard.
  function nearly(word, typed) {
    if (typed.length < 4 || word[0] !== typed[0]) return word === typed;
    for (const start of [word.slice(0, typed.length - 1), word.slice(0, typed.length), word.slice(0, typed.length + 1)]) {
      if (oneApart(start, typed)) return true;
    }
    return false;
  }

  function oneApart(a, b) {
    let at = 0;
    while (at < a.length && a[at] === b[at]) at += 1;
    const [restA, restB] = [a.slice(at), b.slice(at)];
    const swapped = restA.length > 1 && restA[0] === restB[1] && restA[1] === restB[0] && restA.slice(2) === restB.slice(2);
    return swapped || restA.slice(1) === restB.slice(1) || restA.slice(1) === restB || restA === restB.slice(1);
  }

  function picture(path, name) {
    return element("img", { src: root + encodeURI(path), alt: "", className: name });
  }

  function cardHit({ card }) {
    const words = element("span", {}, element("span", { className: "name" }, card.t), " ",
      element("span", { className: "detail" }, [card.k, card.s].filter(Boolean).join(" · ")));
    const line = element("a", { className: "line", href: root + encodeURI(card.u) }, words);
    if (card.c) line.prepend(element("span", { className: `chip ${card.c}` }, card.m ? picture(card.m, "mark") : card.w));
    return element("li", {}, line);
  }

  function thingHit({ thing }) {
    const words = element("span", {}, element("span", { className: "name" }, thing.n), " ", element("span", { className: "detail" }, thing.d));
    const places = thing.i.map((number) => cards[number]).map((card) =>
      element("a", { className: "place-link", href: root + encodeURI(card.u) }, [card.t, card.s].filter(Boolean).join(" · ")));
    const links = places.flatMap((link) => [link, " "]);
    return element("li", {},
      element("div", { className: "line thing" }, ...thing.p.map((path) => picture(path, "tip")), words),
      places.length > FEW
        ? element("details", { className: "places" }, element("summary", {}, say("in_many", { n: places.length })), ...links)
        : element("div", { className: "places" }, found.dataset.in, " ", ...links));
  }

  function list(title, hits, draw) {
    if (!hits.length) return [];
    return [element("h2", {}, title), element("ul", { className: "everything" }, ...hits.slice(0, MOST).map(draw))];
  }

  function search() {
    const asked = wordsOf(field.value);
    const asking = asked.length > 0;
    found.hidden = !asking;
    otherwise.hidden = asking;
    history.replaceState(null, "", asking ? `#q=${encodeURIComponent(field.value)}` : location.pathname + location.search);
    if (!asking) {
      told.textContent = "";
      found.replaceChildren();
      return;
    }
    let hits = look(asked, begins);
    const exact = hits.length > 0;
    if (!exact) hits = look(asked, nearly);
    const amount = say(hits.length === 1 ? "found.one" : "found.other", { n: hits.length });
    told.textContent = exact ? amount : hits.length ? say("similar") : say("none");
    const inCards = hits.filter((hit) => hit.card);
    const inThings = hits.filter((hit) => hit.thing);
    found.replaceChildren(...list(found.dataset.things, inThings, thingHit), ...list(found.dataset.cards, inCards, cardHit));
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

  form.hidden = false;
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
  if (form.closest("[data-search-page]")) field.focus();
})();
