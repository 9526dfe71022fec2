"use strict";
// Whether the printed card is still current. Only an answer that came over the network just now may say so.

(() => {
  const { root, say, remember, recall, date, element } = self.kitdocs;
  const EDITION = /^[0-9A-Z]{4,12}$/;
  const PATIENCE = 6000; // milliseconds

  const card = document.querySelector("[data-card]");
  const place = document.querySelector("[data-verdict]");
  const here = card.dataset.editions.split(" "); // this page's own first, then those of the other languages
  const fromFolder = !/^https?:$/.test(location.protocol);
  let wall = "";
  let asked = 0;

  function readWall() {
    const behind = location.hash.slice(1);
    if (!EDITION.test(behind)) return;
    wall = behind;
    for (const link of document.querySelectorAll("[data-language][href]")) link.hash = wall;
  }

  async function askNetwork() {
    const stop = new AbortController();
    const timer = setTimeout(() => stop.abort(), PATIENCE);
    try {
      const answer = await fetch(`${root}editions.json`, { cache: "no-store", signal: stop.signal });
      if (!answer.ok) return null;
      const editions = await answer.json();
      return typeof editions === "object" && editions !== null ? editions : null;
    } catch {
      return null;
    } finally {
      clearTimeout(timer);
    }
  }

  // neutral: no card was scanned. gone: the handbook has no such card any more.
  function compare(editions) {
    const now = editions[card.dataset.card];
    if (!now) return { state: "gone" };
    const own = now[card.dataset.language] || Object.values(now)[0];
    if (!wall) return { state: "neutral", now: own };
    return { state: Object.values(now).includes(wall) ? "current" : "old", now: own };
  }

  function show(state, ...lines) {
    place.dataset.state = state;
    place.replaceChildren(...lines.map((line, number) => element("p", { className: number ? "verdict-detail" : "verdict-line" }, line)));
  }

  function showChecked({ state, now }) {
    const values = { wall, now };
    const lines = {
      neutral: () => [say("neutral", values), say("compare")],
      current: () => [say("current"), say("current_detail", values)],
      old: () => [say("old"), ...(now === here[0] ? [say("old_meanwhile")] : []), say("old_detail", values)],
      gone: () => wall ? [say("gone"), say("gone_detail", values)] : [say("gone")],
    }[state]();
    if (state !== "gone" && now !== here[0]) lines.push(say("stale_page"));
    show(state, ...lines);
  }

  function showUnchecked() {
    const last = recall("checked");
    if (!last || !last.editions) {
      show("unchecked", say("offline"), say("never"), say("neutral_copy", { now: here[0] }));
      return;
    }
    const { state, now } = compare(last.editions);
    const when = date(new Date(last.at), { dateStyle: "long", timeStyle: "short" });
    show("unchecked", say("offline"), say(`last_${state}`, { wall, now, date: when }));
  }

  function showCopy() {
    const state = wall ? (here.includes(wall) ? "current" : "old") : "neutral";
    show("unchecked", say(`copy_${state}`, { wall, now: here[0] }), say("copy_detail"));
  }

  async function judge() {
    if (fromFolder) {
      showCopy();
      return;
    }
    show("checking", say("checking"));
    const question = ++asked;
    const editions = await askNetwork();
    if (question !== asked) return; // asked again meanwhile
    if (editions) {
      remember("checked", { at: Date.now(), editions });
      showChecked(compare(editions));
    } else {
      showUnchecked();
    }
  }

  readWall();
  judge();
  addEventListener("hashchange", () => { readWall(); judge(); });
  addEventListener("online", judge);
  addEventListener("pageshow", (event) => { if (event.persisted) judge(); });
})();
