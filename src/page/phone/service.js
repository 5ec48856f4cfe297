// Keeps the page, so that it opens without network: from the store at once, and from its host for the next time.
"use strict";

const FILES = ["./", "kart.webmanifest", "icon.svg"];

oninstall = (event) => event.waitUntil(caches.open("STORE").then((store) => store.addAll(FILES)).then(() => skipWaiting()));

onactivate = (event) => event.waitUntil((async () => {
  const old = (await caches.keys()).filter((name) => name.startsWith("kentledge-") && name !== "STORE");
  await Promise.all(old.map((name) => caches.delete(name)));
  await clients.claim();
})());

onfetch = (event) => event.respondWith(caches.match(event.request, { ignoreSearch: true }).then((kept) => kept ?? fetch(event.request)));
