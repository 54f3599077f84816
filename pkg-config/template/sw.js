// The service worker: the whole app is fetched once, then opened from here.
// The packager writes VERSION (a hash of everything) and ASSETS above.
"use strict";

const CACHE = `faultleaf-${VERSION}`;
// What another app shared waits here until the app takes it. Outlives updates.
const SHARED = "faultleaf-shared";
const PAGE = "/";

// All or nothing: one file that can't be fetched fails the install, and the
// old version stays. A file with a hash in its name is the same wherever it
// comes from, so the page's own download of it is used. For all others the
// browser's store is passed by: it may hold the files of the old version.
self.addEventListener("install", (event) => {
  const fetchAll = async () => {
    const cache = await caches.open(CACHE);
    try {
      const how = (address) => ({ cache: address.startsWith("/assets/") ? "default" : "reload" });
      await cache.addAll(ASSETS.map((address) => new Request(address, how(address))));
    } catch (problem) {
      await caches.delete(CACHE);
      throw problem;
    }
  };
  event.waitUntil(fetchAll());
});

self.addEventListener("activate", (event) => {
  const takeOver = async () => {
    const names = await caches.keys();
    const old = names.filter((name) => name.startsWith("faultleaf-") && name !== CACHE && name !== SHARED);
    await Promise.all(old.map((name) => caches.delete(name)));
    // After the first install the open page can be shared into at once.
    await self.clients.claim();
  };
  event.waitUntil(takeOver());
});

// A new version waits until the person agrees: a half typed log is open.
self.addEventListener("message", (event) => {
  if (event.data === "skip-waiting") {
    self.skipWaiting();
  }
});

self.addEventListener("fetch", (event) => {
  const { request } = event;
  const address = new URL(request.url);
  if (address.origin !== self.location.origin) {
    return;
  }
  if (request.method === "POST" && address.pathname === "/share") {
    event.respondWith(park(request));
    return;
  }
  // The way out of a broken version goes past everything kept here.
  if (request.method !== "GET" || address.searchParams.has("reset-sw")) {
    return;
  }
  if (request.mode === "navigate") {
    event.respondWith(answer(PAGE, request));
  } else if (address.pathname !== "/sw.js") {
    event.respondWith(answer(request, request));
  }
});

async function answer(wanted, request) {
  const cache = await caches.open(CACHE);
  const kept = await cache.match(wanted, { ignoreVary: true });
  return kept ?? fetch(request);
}

// Keeps what was shared under numbered addresses, each part with its own type.
// A share takes the place of an earlier one that was not taken.
async function park(request) {
  try {
    const form = await request.formData();
    const words = ["title", "text", "url"].map((name) => form.get(name));
    const text = words.filter((word) => typeof word === "string" && word.trim() !== "").join("\n");
    const files = form.getAll("files").filter((file) => typeof file !== "string" && file.size > 0);
    await caches.delete(SHARED);
    const cache = await caches.open(SHARED);
    let number = 0;
    const keep = (body, type, name) =>
      cache.put(
        `/shared/${number++}`,
        new Response(body, { headers: { "content-type": type, "x-file-name": encodeURIComponent(name) } }),
      );
    // Files first: the text that comes with one is often only its name.
    for (const file of files) {
      await keep(file, file.type || "text/plain", file.name);
    }
    if (text !== "") {
      await keep(text, "text/plain;charset=utf-8", "");
    }
  } catch (problem) {
    // The app says that nothing arrived; that is better than an error page.
    console.error(problem);
  }
  return Response.redirect("/read?shared=1", 303);
}
