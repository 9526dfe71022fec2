"use strict";
// How far a typed word is from a word that is known: 0 when it begins it, else the slips between the two.

(() => {
  const folded = (text) => text.normalize("NFD").replace(/\p{M}/gu, "").toLowerCase();
  const wordsOf = (text) => folded(text).match(/[\p{L}\p{N}]+/gu) || [];

  // What a name is when the gaps between its words are not typed: birdbeak, beakplier, birdbeakplier.
  function joinedWordsOf(name) {
    const words = wordsOf(name);
    const joined = words.slice(1).map((word, at) => words[at] + word);
    return words.length > 2 ? [...joined, words.join("")] : joined;
  }

  // What a typed word may be when it is a plural, in English or in Spanish: pliers, boxes, bodies, sillones, veces.
  function singulars(typed) {
    const endings = [["s", ""], ["es", ""], ["ies", "y"], ["ces", "z"]];
    return endings
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

  self.kitdocsMatching = Object.freeze({ wordsOf, joinedWordsOf, begins, distance });
})();
