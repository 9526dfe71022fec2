"use strict";
// Whether the printed card is still current. Only an answer that came over the network just now may say so; what that
// answer said of a scanned card is noted on this device for whoever walks round with the list of current cards.
// An edition that was never recorded may be newer than the site: of it, neither good nor bad is said.

(() => {
  const { root, say, remember, recall, date, element } = self.kitdocs;
  const EDITION = /^[0-9A-Z]{4,12}$/;
  const PATIENCE = 6000; // milliseconds
  const AT_FIRST = 500; // milliseconds until the page says that it has no answer yet, and what it knows from before
  const AT_ONCE = 4; // differences above the list; where there are more, a way to all of them
  const A_ROUND = 24 * 3600 * 1000; // an audit is walked in a day

  const card = document.querySelector("[data-card]");
  const place = document.querySelector("[data-verdict]");
  const earlier = document.querySelector("[data-earlier]"); // leads to what is different since older cards were printed
  const paper = document.querySelector("[data-pdf]");
  const { lead } = card.dataset; // whom to ask
  const here = card.dataset.editions.split(" "); // this page's own first, then those of the other languages
  const withdrawn = "withdrawn" in card.dataset; // the page stands where a card's page was
  const fromFolder = !/^https?:$/.test(location.protocol);
  let wall = "";
  let asked = 0;

  function readWall() {
    const behind = location.hash.slice(1);
    if (!EDITION.test(behind)) return;
    wall = behind;
    for (const link of document.querySelectorAll("[data-language][href]")) link.hash = wall;
  }

  // The editions that were recorded as printed stand on the page.
  function hungBefore(edition) {
    const place = document.getElementById(edition);
    return Boolean(place && place.closest(".scanned")) && !here.includes(edition);
  }

  const isKnown = () => !wall || here.includes(wall) || hungBefore(wall);

  // What is asked for, or was kept: {languages: ["en", "es"], cards: {"r/teal": "K7Q2M P4D8X"}}.
  const isList = (editions) => Boolean(editions && Array.isArray(editions.languages) && editions.cards && typeof editions.cards === "object");

  // What the answer holds; null when there is none in time. `early` is an answer that was asked for already.
  async function ask(address, read, early) {
    const stop = new AbortController();
    const timer = setTimeout(() => stop.abort(), PATIENCE);
    try {
      const answer = await (early || fetch(address, { cache: "no-store", signal: stop.signal }));
      return answer && answer.ok ? await read(answer) : null;
    } catch {
      return null;
    } finally {
      clearTimeout(timer);
    }
  }

  // The page has asked once by itself, before any script was there; whoever is asked again asks anew.
  async function askNetwork() {
    const early = self.askedEarly;
    self.askedEarly = null;
    const editions = await ask(`${root}editions.json`, (answer) => answer.json(), early);
    return isList(editions) ? editions : null;
  }

  // When the scanned card hung before: when it was printed and what is different now, or at least the way there. A page
  // that was opened from a folder may not read another one.
  async function askEarlier() {
    const known = wall && earlier && document.getElementById(wall);
    if (!known || known.parentNode !== earlier.parentNode) return null;
    const page = fromFolder ? null : await ask(earlier.href, (answer) => answer.text());
    const told = page && page.replace(/<style>.*?<\/style>/s, "");  // this page's policy is not for that one's style
    const edition = told && new DOMParser().parseFromString(told, "text/html").getElementById(wall);
    const part = edition && edition.closest("[data-printed]");
    const way = element("p", { className: "ways" }, Object.assign(earlier.cloneNode(true), { className: "button", hash: wall }));
    if (!part) return { lines: [way] };
    const all = [...part.querySelectorAll("li")];
    const list = element("ul", { className: "verdict-detail" }, ...all.slice(0, AT_ONCE));
    return { date: part.dataset.printed, lines: [say("old_what"), list, all.length > AT_ONCE && way] };
  }

  // neutral: no card was scanned. gone: the handbook has no such card any more. unknown: never recorded as printed, or
  // newer than what the network answers.
  function compare(editions) {
    const told = editions.cards[card.dataset.card];
    if (!told) return { state: isKnown() ? "gone" : "unknown" };
    const all = told.split(" ");
    const own = all[editions.languages.indexOf(card.dataset.language)];
    const now = own && own !== "-" ? own : all.find((edition) => edition !== "-");
    if (!wall) return { state: "neutral", now, all };
    if (all.includes(wall)) return { state: "current", now, all };
    const older = hungBefore(wall) || (here.includes(wall) && !hungBefore(now));
    return { state: older ? "old" : "unknown", now, all };
  }

  function show(state, ...lines) {
    place.dataset.state = state;
    place.replaceChildren(...lines.filter(Boolean).map((line, number) => typeof line === "string"
      ? element("p", { className: number ? "verdict-detail" : "verdict-line" }, line) : line));
  }

  function toPaper() {
    return paper && element("p", { className: "verdict-detail" }, `${say("to_lead")} `, Object.assign(paper.cloneNode(true), { className: "" }));
  }

  function showChecked({ state, now }, past) {
    const values = { wall, now };
    const stale = now && now !== here[0];
    const reload = stale && !(state === "unknown" && here.includes(wall)); // else the answer is older than the page
    const lines = {
      neutral: () => [say("neutral", values), say("compare")],
      current: () => [say("current"), say("current_detail", values)],
      old: () => [say("old"), ...(stale ? [] : [say("old_meanwhile"), ...past ? past.lines : []]),
        past && past.date ? say("old_printed", { ...values, date: past.date }) : say("old_detail", values),
        say("old_tell", { lead }), toPaper()],
      unknown: () => [say("unknown", values), say("unknown_detail", { lead })],
      gone: () => [say("gone"), wall && say("gone_detail", values)],
    }[state]();
    if (withdrawn && now) show("unchecked", say("gone_again"));
    else show(state, ...lines, reload && say(state === "old" ? "stale_page" : "stale_copy"));
  }

  // waiting: the network may still answer. unchecked: it did not.
  function showUnchecked(state, past) {
    const why = say(state === "waiting" ? "waiting" : "offline");
    const last = recall("checked");
    if (!last || !isList(last.editions)) {
      show(state, why, say("never"), ...isKnown()
        ? [withdrawn ? say("gone_copy") : say("neutral_copy", { now: here[0] })]
        : [say("copy_unknown", { wall }), say("copy_unknown_detail", { lead })]);
      return;
    }
    const found = compare(last.editions);
    const when = date(new Date(last.at), { dateStyle: "long", timeStyle: "short" });
    show(state, why, say(`last_${found.state}`, { wall, now: found.now, date: when }),
      found.state === "unknown" && say("unknown_detail", { lead }),
      ...past && found.state === "old" && found.now === here[0] ? past.lines : []);
  }

  function showCopy(past) {
    const values = { wall, now: here[0] };
    if (hungBefore(wall)) show("unchecked", say("copy_older", values), ...past ? past.lines : [], say("copy_detail"));
    else if (!isKnown()) show("unknown", say("copy_unknown", values), say("copy_unknown_detail", { lead }));
    else show("unchecked", withdrawn ? say("gone_copy") : say(wall ? "copy_current" : "copy_neutral", values), say("copy_detail"));
  }

  function note({ state, all }) {
    if (state === "neutral" || !wall) return;
    const audit = recall("audit") || {};
    const title = document.querySelector("h1").textContent;
    remember("audit", { since: audit.since, seen: { ...audit.seen, [card.dataset.card]: { wall, state, title, now: all, at: Date.now() } } });
    if (card.dataset.audit && Date.now() - audit.since < A_ROUND) {
      place.append(element("p", {}, element("a", { className: "noted", href: card.dataset.audit }, say("noted"))));
    }
  }

  async function judge() {
    if (fromFolder) {
      showCopy(await askEarlier());
      return;
    }
    if (!withdrawn) show("checking", say("checking"));
    const question = ++asked;
    const answers = Promise.all([askNetwork(), askEarlier()]);
    const early = setTimeout(() => { if (question === asked) showUnchecked("waiting"); }, AT_FIRST);
    const [editions, past] = await answers;
    clearTimeout(early);
    if (question !== asked) return; // asked again meanwhile
    if (editions) {
      remember("checked", { at: Date.now(), editions });
      const found = compare(editions);
      showChecked(found, past);
      note(found);
    } else {
      showUnchecked("unchecked", past);
    }
  }

  readWall();
  self.kitdocs.first(judge());
  addEventListener("hashchange", () => { readWall(); judge(); });
  addEventListener("online", judge);
  addEventListener("pageshow", (event) => { if (event.persisted) judge(); });
})();
