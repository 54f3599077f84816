// Two things that can't wait for the app: the chosen look, and the last resort,
// a plain page for when the app stopped. That is drawn without the app, and
// offers what the person had typed, because nothing else can.
(() => {
  "use strict";

  const DRAFT = "faultleaf.draft";

  // The chosen look, before the first picture, so that nothing flashes.
  try {
    const chosen = JSON.parse(localStorage.getItem("faultleaf.settings") ?? "{}");
    const look = ["auto", "light", "dark"][chosen.theme] ?? "auto";
    document.documentElement.setAttribute("data-theme", look);
    document.documentElement.setAttribute("data-size", String(Math.min(chosen.size ?? 0, 3)));
  } catch {
    // Storage is off, or holds something else: the look of the device will do.
  }

  let shown = false;

  // The first message counts; what follows is only its echo.
  window.faultleafPanic = (message, title = "The app stopped") => {
    console.error(message);
    if (shown) {
      return;
    }
    shown = true;
    draw(String(message), title);
  };

  // Running out of memory or of stack is no panic of the app's own.
  window.addEventListener("error", (event) => {
    if (event.error instanceof WebAssembly.RuntimeError) {
      window.faultleafPanic(`${event.error}`);
    }
  });

  function draw(message, title) {
    const details = describe(message);
    const heading = part("h1", title);
    heading.tabIndex = -1;
    const panel = part("main");
    panel.className = "panic";
    panel.append(
      heading,
      part("p", "Something in the app went wrong. Reloading does not delete what is saved on this device."),
      row(
        button("Reload", () => location.reload()),
        copier("Copy details", details),
      ),
    );
    const draft = kept();
    if (draft) {
      panel.append(
        part("h2", "What you had typed"),
        part("p", "It was kept. To be safe, copy it before you reload."),
        row(copier("Copy my text", draft)),
        field("Your text", draft),
      );
    }
    panel.append(part("h2", "Details"), field("Details of the error", details));
    panel.append(
      part("h2", "If it stops again"),
      part("p", "The app's own files may be damaged. Fetching them anew needs a connection."),
      row(button("Fetch the app anew", () => location.assign("/?reset-sw"))),
    );
    document.title = `${title} · Faultleaf`;
    document.body.replaceChildren(panel);
    // A screen reader reads on from here.
    heading.focus();
  }

  function describe(message) {
    const build = document.querySelector("meta[name=build]")?.content ?? "unknown";
    return [message, `page: ${location.pathname}`, `build: ${build}`, `browser: ${navigator.userAgent}`].join("\n");
  }

  // The draft is an object with the text in it. Storage may be off.
  function kept() {
    try {
      const stored = localStorage.getItem(DRAFT);
      if (!stored) {
        return "";
      }
      try {
        const draft = JSON.parse(stored);
        return typeof draft === "string" ? draft : draft.text || draft.original || "";
      } catch {
        return stored;
      }
    } catch {
      return "";
    }
  }

  function part(name, text = "") {
    const element = document.createElement(name);
    element.textContent = text;
    return element;
  }

  function row(...buttons) {
    const element = part("p");
    element.className = "panic-row";
    element.append(...buttons);
    return element;
  }

  function button(label, act) {
    const element = part("button", label);
    element.type = "button";
    element.className = "plain";
    element.addEventListener("click", act);
    return element;
  }

  function copier(label, text) {
    const element = button(label, async () => {
      try {
        await navigator.clipboard.writeText(text);
        element.textContent = "Copied";
      } catch {
        element.textContent = "Can't copy. Select the text below";
      }
    });
    return element;
  }

  function field(label, text) {
    const element = part("textarea");
    element.readOnly = true;
    element.rows = 6;
    element.className = "panic-text";
    element.setAttribute("aria-label", label);
    element.value = text;
    return element;
  }
})();
