// Keeps the page on the device, so that it opens without a signal.
"use strict";
var KEPT = "flangeway {{SUM}}";
self.addEventListener("install", function (e) {
  e.waitUntil(caches.open(KEPT).then(function (c) {
    return c.addAll(["./", "index.html", "manifest.webmanifest"]);
  }).then(function () { return self.skipWaiting(); }));
});
self.addEventListener("activate", function (e) {
  e.waitUntil(caches.keys().then(function (names) {
    return Promise.all(names.filter(function (n) { return n.indexOf("flangeway ") === 0 && n !== KEPT; }).map(function (n) { return caches.delete(n); }));
  }).then(function () { return self.clients.claim(); }));
});
self.addEventListener("fetch", function (e) {
  e.respondWith(caches.match(e.request, { ignoreSearch: true }).then(function (r) { return r || fetch(e.request); }));
});
