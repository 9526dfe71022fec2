"use strict";
// The printed copy: this page from the browser, or the PDF that stands beside the site, if it was put there.

(() => {
  const { say } = self.kitdocs;
  const print = document.querySelector("[data-print]");
  const told = document.querySelector("[data-no-pdf]");

  async function isThere(address) {
    try {
      const answer = await fetch(address, { method: "HEAD", cache: "no-store" });
      return answer.ok ? "" : "no_pdf";
    } catch {
      return "no_pdf_offline";
    }
  }

  // Every way to a PDF on the page, also the one in a verdict; a browser that opens files cannot ask first.
  addEventListener("click", async (event) => {
    const link = event.target.closest && event.target.closest("[data-pdf]");
    if (!link || !/^https?:$/.test(location.protocol) || event.ctrlKey || event.metaKey || event.shiftKey) return;
    event.preventDefault();
    const missing = await isThere(link.href);
    if (!missing) {
      location.assign(link.href);
      return;
    }
    told.textContent = say(missing);
    told.scrollIntoView({ block: "center" });
    print.focus({ preventScroll: true });
  });

  print.textContent = say("print");
  print.addEventListener("click", () => self.print());
  print.hidden = false;
})();
