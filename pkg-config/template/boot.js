// Starts the app, then the service worker that keeps it for offline use.
// The app hears of it through events on the window:
//   faultleaf-offline-ready    the first install is done
//   faultleaf-update-waiting   a newer version waits for the person's yes
// For what happened before the app listened, `faultleafUpdateWaiting` is set.

const HOUR = 60 * 60 * 1000;

if (new URLSearchParams(location.search).has("reset-sw")) {
  await reset();
} else {
  await start();
  takeFiles();
  // After the app, so that the two don't share a slow line.
  await keepOffline();
}

// A log opened from the file manager waits where shared text waits.
function takeFiles() {
  window.launchQueue?.setConsumer(async ({ files }) => {
    if (!files?.length) {
      return;
    }
    const cache = await caches.open("faultleaf-shared");
    for (const old of await cache.keys()) {
      await cache.delete(old);
    }
    let number = 0;
    for (const handle of files) {
      const file = await handle.getFile();
      const headers = { "content-type": file.type || "text/plain" };
      await cache.put(`/shared/${number++}`, new Response(file, { headers }));
    }
    location.replace("/read?shared=1");
  });
}

async function start() {
  try {
    const script = document.getElementById("app-script").href;
    const module = document.getElementById("app-module").href;
    const app = await import(script);
    await painted();
    await app.default({ module_or_path: module });
  } catch (problem) {
    window.faultleafPanic?.(`${problem}`, "The app did not load");
  }
}

// The first picture is shown before the program is even fetched: it says the
// same and is there sooner. A page in the background is not painted, hence the limit.
function painted() {
  return new Promise((done) => {
    requestAnimationFrame(() => requestAnimationFrame(() => setTimeout(done)));
    setTimeout(done, 300);
  });
}

async function keepOffline() {
  const workers = navigator.serviceWorker;
  if (!workers) {
    return;
  }
  let registration;
  try {
    registration = await workers.register("/sw.js", { updateViaCache: "none" });
  } catch (problem) {
    // A private window, or storage is off: the app works, only not offline.
    console.warn("No offline use in this window:", problem);
    return;
  }
  if (registration.waiting && workers.controller) {
    tellUpdate();
  }
  watch(registration.installing, workers);
  registration.addEventListener("updatefound", () => watch(registration.installing, workers));

  let applying = false;
  window.faultleafApplyUpdate = () => {
    if (!registration.waiting) {
      location.reload();
      return;
    }
    applying = true;
    registration.waiting.postMessage("skip-waiting");
  };
  workers.addEventListener("controllerchange", () => {
    // Only where the person agreed; another tab may hold a half typed log.
    if (applying) {
      applying = false;
      location.reload();
    }
  });
  askHourly(registration);
}

// An installed app may stay open for weeks, so it asks when it is looked at.
function askHourly(registration) {
  let asked = Date.now();
  document.addEventListener("visibilitychange", () => {
    if (document.visibilityState === "visible" && Date.now() - asked > HOUR) {
      asked = Date.now();
      registration.update().catch(() => {});
    }
  });
}

function watch(worker, workers) {
  if (!worker) {
    return;
  }
  const first = !workers.controller;
  worker.addEventListener("statechange", () => {
    if (first && worker.state === "activated") {
      window.dispatchEvent(new CustomEvent("faultleaf-offline-ready"));
    } else if (!first && worker.state === "installed") {
      tellUpdate();
    }
  });
}

function tellUpdate() {
  window.faultleafUpdateWaiting = true;
  window.dispatchEvent(new CustomEvent("faultleaf-update-waiting"));
}

// The way out of a broken version: /?reset-sw forgets the kept files. What the
// person wrote is elsewhere and stays.
async function reset() {
  const registrations = (await navigator.serviceWorker?.getRegistrations()) ?? [];
  await Promise.all(registrations.map((registration) => registration.unregister()));
  const names = await caches.keys();
  await Promise.all(names.filter((name) => name.startsWith("faultleaf-")).map((name) => caches.delete(name)));
  location.replace("/");
}
