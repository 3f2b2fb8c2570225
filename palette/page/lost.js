// What the page says and does while it and palette have lost each other.
//
// The library goes on trying to connect by itself. Meanwhile nothing can be pressed, since it might
// never arrive, and one sentence says how things stand: nobody answers, or palette was started anew.
(() => {
  const PATIENCE_MS = 800; // a hiccup is not worth a word
  const ASK_EVERY_MS = 3000;
  const place = document.getElementById("popup");
  let waiting = 0;
  let focused = null;

  place.setAttribute("role", "alert");

  function say(sentence) {
    if (place.textContent !== sentence) place.textContent = sentence;
  }

  function kept() {
    return document.querySelector(".saved")?.textContent === "Saved"
      ? "What was done up to now is saved."
      : "What was done last may not be saved yet.";
  }

  function close(shut) {
    // Dialogs lie beside the page, not in it.
    for (const each of document.body.children) each.inert = shut && each !== place;
    document.body.classList.toggle("lost", shut);
  }

  async function ask() {
    try {
      const answer = await fetch("/favicon.ico", { cache: "no-store", signal: AbortSignal.timeout(ASK_EVERY_MS) });
      say(
        answer.status === 401
          ? `palette was started anew and has a new address; open the one it tells. ${kept()}`
          : "palette answers again; one moment.",
      );
    } catch {
      say(
        `palette does not answer. Is it still running, and this device in its network? ${kept()} ` +
          "The page goes on by itself once palette is there again.",
      );
    }
    if (waiting) waiting = setTimeout(ask, ASK_EVERY_MS);
  }

  function lost() {
    if (waiting) return;
    waiting = setTimeout(() => {
      focused = document.activeElement;
      close(true);
      ask();
    }, PATIENCE_MS);
  }

  function found() {
    clearTimeout(waiting);
    waiting = 0;
    close(false);
    focused?.focus?.();
    focused = null;
  }

  function failed(fault) {
    // The library would load the page anew where a try takes long, and lose it where nobody is there to
    // give it. It is loaded anew only when palette has answered, and no longer knows this tab.
    if (fault.message === "Implicit handshake failed") window.location.reload();
    else if (fault.message === "timeout") window.socket.io.opts.transports = ["polling", "websocket"];
    lost();
  }

  // A tab that is closed need not be waited for; one that sleeps in a pocket is.
  window.addEventListener("pagehide", (event) => event.persisted || emitEvent("leave"));

  const begin = setInterval(() => {
    if (!window.socket) return;
    clearInterval(begin);
    window.socket.off("connect_error");
    window.socket.on("connect_error", failed);
    window.socket.on("disconnect", lost);
    window.socket.on("connect", found);
  }, 50);
})();
