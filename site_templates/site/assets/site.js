"use strict";
// What every page shares: the site's top, the words, and what is remembered on this device.

(() => {
  const root = new URL("../", document.currentScript.src).href;
  const before = [];
  const key = (name) => `kitdocs ${root} ${name}`;

  self.kitdocs = Object.freeze({
    root,

    // The sentence with its placeholders filled: {wall}, {now}.
    say(name, values = {}) {
      return self.KITDOCS_WORDS[name].replace(/\{(\w+)\}/g, (_, field) => String(values[field]));
    },

    // The sentence for `n` things, in the form that the page's language has for that number.
    count(name, n, values = {}) {
      const form = `${name}.${new Intl.PluralRules(document.documentElement.lang).select(n)}`;
      return self.kitdocs.say(form in self.KITDOCS_WORDS ? form : `${name}.other`, { n, ...values });
    },

    // Storage may be full, forbidden or spoilt; a page then works without a memory.
    remember(name, value) {
      try { localStorage.setItem(key(name), JSON.stringify(value)); } catch { /* without */ }
    },
    recall(name) {
      try { return JSON.parse(localStorage.getItem(key(name))); } catch { return null; }
    },
    keyOf: key,

    // What the page waits for itself: the whole site is asked for, to be kept, only after it.
    first(promise) { before.push(promise); },

    element(tag, properties = {}, ...children) {
      const made = Object.assign(document.createElement(tag), properties);
      made.append(...children);
      return made;
    },

    date(moment, options) {
      return new Intl.DateTimeFormat(document.documentElement.lang, options).format(moment);
    },
  });

  // Who chose a language keeps it: a card printed in another opens in the chosen one.
  for (const link of document.querySelectorAll(".top a[hreflang]")) {
    link.addEventListener("click", () => self.kitdocs.remember("language", link.hreflang));
  }
  const chosen = self.kitdocs.recall("language") ?? languageOfFirstScan();
  for (const link of document.querySelectorAll("[data-language]")) {
    if (link.hreflang === chosen) location.replace(link.href + location.hash);
  }

  // A phone's first scan opens in the phone's own language, where the card has it; that counts as chosen, so that the
  // way back in the head is one tap. A device that remembers nothing would lead back again: it stays as printed.
  function languageOfFirstScan() {
    if (!/^#[0-9A-Z]{4,12}$/.test(location.hash) || self.kitdocs.recall("scanned")) return null;
    self.kitdocs.remember("scanned", true);
    if (!self.kitdocs.recall("scanned")) return null;
    const offered = [document.documentElement, ...document.querySelectorAll("[data-language]")];
    const found = navigator.languages.map((wanted) => wanted.split("-")[0])
      .find((wanted) => offered.some((other) => (other.hreflang || other.lang) === wanted));
    if (!found || found === document.documentElement.lang) return null;
    self.kitdocs.remember("language", found);
    return found;
  }

  document.documentElement.classList.add("js");
  if ("serviceWorker" in navigator && /^https?:$/.test(location.protocol)) {
    // Only when the page is there: to keep all others takes long on a slow network, and would hold up this one.
    addEventListener("load", async () => {
      await Promise.allSettled(before);
      navigator.serviceWorker.register(`${root}sw.js`, { updateViaCache: "none" }).catch(() => { /* works without */ });
    });
  }
})();
