"use strict";
// The tablet on the wall: it stays awake, opens cards in a frame, comes back to the chairs by itself, goes dim at night,
// and asks the network whether a newer handbook is up.

(() => {
  const { root, say, remember, recall, element, date } = self.kitdocs;
  const find = (name) => document.querySelector(`[data-${name}]`);
  const stated = document.querySelector("[data-tablet]").dataset; // by the practice
  const choices = [...document.querySelectorAll("[data-back]")].map((button) => Number(button.dataset.back)); // minutes
  const [evening, morning] = stated.night.split(" ").map(Number); // minutes after midnight
  const LOOK_EVERY = 5 * 1000;
  const ASK_EVERY = 15 * 60 * 1000;
  const PATIENCE = 6000;
  const served = /^https?:$/.test(location.protocol);
  const built = new Date(document.lastModified);
  const isDated = Math.abs(Date.now() - built) > 60 * 1000; // where nothing is known, a browser says now
  let touched = Date.now();
  let frame = null;
  let lock = null;

  const back = () => (choices.includes(recall("wall back")) ? recall("wall back") : Number(stated.tablet));
  const when = (moment) => date(new Date(moment), { dateStyle: "medium", timeStyle: "short" });
  const touch = () => { touched = Date.now(); };

  // A card in a frame; a page that was opened from a folder could not see that it is touched, and goes there itself.
  function open(address) {
    frame = element("iframe", { src: address, title: document.querySelector("h1").textContent });
    frame.addEventListener("load", () => {
      for (const kind of ["pointerdown", "keydown", "scroll"]) frame.contentWindow.addEventListener(kind, touch, { capture: true, passive: true });
    });
    find("opened").append(frame);
    find("opened").hidden = false;
    putBehind(true);
    find("close").focus();
  }

  function putBehind(isBehind) {
    for (const part of document.querySelectorAll(".top, [data-tablet], .foot")) part.inert = isBehind;
  }

  function close() {
    if (frame) frame.remove();
    frame = null;
    find("opened").hidden = true;
    putBehind(false);
  }

  function look() {
    const idle = Date.now() - touched >= back() * 60 * 1000;
    if (!idle) return;
    close();
    scrollTo(0, 0);
    find("dim").hidden = !isNight(new Date());
  }

  // From a time to the same time is never; to an earlier one, over midnight.
  function isNight(moment) {
    const now = moment.getHours() * 60 + moment.getMinutes();
    const sinceEvening = now >= evening;
    return evening <= morning ? sinceEvening && now < morning : sinceEvening || now < morning;
  }

  async function stayAwake() {
    if (document.visibilityState !== "visible" || (lock && !lock.released)) return;
    if (!navigator.wakeLock) {
      find("awake").textContent = say("awake_cannot");
      return;
    }
    try {
      lock = await navigator.wakeLock.request("screen");
      find("awake").textContent = say("awake");
    } catch {
      find("awake").textContent = say("awake_refused");
    }
  }

  async function answered() {
    const stop = new AbortController();
    const timer = setTimeout(() => stop.abort(), PATIENCE);
    try {
      const answer = await fetch(`${root}version.json`, { cache: "no-store", signal: stop.signal });
      const told = answer.ok ? await answer.json() : null;
      return told && typeof told.version === "string" ? told.version : "";
    } catch {
      return "";
    } finally {
      clearTimeout(timer);
    }
  }

  async function ask() {
    const version = served ? await answered() : "";
    const own = say(isDated ? "own_dated" : "own", { version: self.KITDOCS_VERSION, date: when(built) });
    if (version) remember("site checked", { at: Date.now() });
    const last = recall("site checked");
    const known = last && Number.isFinite(last.at) ? say("not_since", { date: when(last.at) }) : say(served ? "never" : "folder");
    const newer = version && version !== self.KITDOCS_VERSION;
    find("newer").textContent = `${own} ${newer ? say("newer") : version ? say("newest", { date: when(Date.now()) }) : known}`;
    find("newer").classList.toggle("is-newer", Boolean(newer));
    find("reload").hidden = !newer;
  }

  function showBack() {
    for (const button of document.querySelectorAll("[data-back]")) button.setAttribute("aria-pressed", String(Number(button.dataset.back) === back()));
  }

  document.addEventListener("click", (event) => {
    const link = event.target.closest("a[href]:not([hreflang], .skip)");
    if (!link || !served || event.ctrlKey || event.metaKey || event.shiftKey) return;
    event.preventDefault();
    open(link.href);
  });
  find("close").addEventListener("click", close);
  find("dim").addEventListener("click", () => { // the first touch of a dark screen wakes it and does nothing else
    touch();
    find("dim").hidden = true;
  });
  find("reload").addEventListener("click", () => location.reload());
  for (const button of document.querySelectorAll("[data-back]")) {
    button.addEventListener("click", () => { remember("wall back", Number(button.dataset.back)); showBack(); });
  }
  if (document.fullscreenEnabled) {
    find("full").hidden = false;
    find("full").addEventListener("click", () => document.documentElement.requestFullscreen().catch(() => { /* stays as it is */ }));
    document.addEventListener("fullscreenchange", () => { find("full").hidden = Boolean(document.fullscreenElement); });
  }
  for (const kind of ["pointerdown", "keydown", "scroll"]) addEventListener(kind, touch, { capture: true, passive: true });
  document.addEventListener("visibilitychange", stayAwake);
  addEventListener("online", ask);
  addEventListener("offline", ask);
  setInterval(look, LOOK_EVERY);
  setInterval(ask, ASK_EVERY);

  find("state").hidden = false;
  showBack();
  stayAwake();
  ask();
})();
