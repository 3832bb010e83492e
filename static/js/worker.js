/* The bench without a connection. Pages come from the network; only where that fails does a bench page come as this
   device last saw it. FILES, KEPT_PAGES, AT_HAND, DOOR and WAY_OUT are put before this by the server: what every page
   is drawn with, the page that lists what is kept, the address of the bench at hand, and the ways in and out.
   A page of the bench shows one person's work, so what is kept of it goes when that person is signed out. */
"use strict";
const FIXED = `fixed ${FILES.join(" ")}`, SEEN = "bench pages", PATIENCE = 4_000;
const isBench = (path) => /^\/builds\/[^/]+\/bench\/$/.test(path);
const seen = () => caches.open(SEEN);

addEventListener("install", (event) => event.waitUntil((async () => {
  await (await caches.open(FIXED)).addAll([...FILES, KEPT_PAGES]);
  await skipWaiting();
})()));

// A kept page is drawn with the files of its version, so those of the one before go when every page was had anew.
addEventListener("activate", (event) => event.waitUntil((async () => {
  await registration.navigationPreload?.enable();
  await clients.claim();
  const kept = await (await seen()).keys();
  const renewed = await Promise.all(kept.map((request) => have(new URL(request.url).pathname)));
  if (!renewed.every(Boolean)) return;
  const old = (await caches.keys()).filter((name) => name !== FIXED && name !== SEEN);
  await Promise.all(old.map((name) => caches.delete(name)));
})()));

addEventListener("fetch", (event) => {
  const { method, mode, url, isHistoryNavigation } = event.request, { origin, pathname } = new URL(url);
  // Who goes back is to find the form that was sent, with its token; a new one would log it twice.
  if (origin !== location.origin || isHistoryNavigation) return;
  if (method === "POST" && pathname === WAY_OUT) event.waitUntil(caches.delete(SEEN));
  else if (method === "GET" && mode === "navigate") event.respondWith(page(event, pathname));
  else if (method === "GET" && FILES.includes(pathname)) event.respondWith(fetch(event.request).catch(() => file(url)));
});

// The page that began this worker was there before it.
addEventListener("message", (event) => event.waitUntil((async () => {
  const { pathname } = new URL(event.source.url);
  if (isBench(pathname) && !await (await seen()).match(pathname)) await have(pathname);
})()));

const file = async (url) => await caches.match(url) || Response.error();

async function page(event, path) {
  const answer = await inTime(fromNetwork(event), isBench(path) && Boolean(await (await seen()).match(path)));
  if (!answer || [502, 503, 504].includes(answer.status)) return await keptInstead(path) || answer || Response.error();
  if (path === DOOR) event.waitUntil(caches.delete(SEEN));
  else if (isBench(path) && answer.ok) event.waitUntil(keep(event.request.url, path, answer.clone()));
  return answer;
}

async function fromNetwork(event) {
  try { return await event.preloadResponse || await fetch(event.request); } catch { return null; }
}

// Where a kept page would do, a weak signal is not waited for.
function inTime(answer, limited) {
  if (!limited) return answer;
  return Promise.race([answer, new Promise((done) => { setTimeout(() => done(null), PATIENCE); })]);
}

async function keptInstead(path) {
  const pages = await seen(), found = await pages.match(path);
  if (found) {
    const text = (await found.text()).replace("<html ", "<html data-kept ");
    return new Response(text, { headers: { "content-type": "text/html; charset=utf-8",
      "content-security-policy": found.headers.get("content-security-policy") || "default-src 'none'" } });
  }
  const last = (await pages.keys()).pop();
  if (path === AT_HAND && last) return Response.redirect(last.url);
  return (await caches.open(FIXED)).match(KEPT_PAGES);
}

// What is kept is the page as one opens it: without the word about an evening just logged, or the part of a code.
async function keep(url, path, answer) {
  if (new URL(url).search) await have(path);
  else await (await seen()).put(path, answer);
}

async function have(path) {
  // Not followed to the sign-in page, which would begin a form of its own behind the one that somebody is at; nor put
  // in place of the page that the browser holds for whoever goes back.
  const answer = await fetch(path, { redirect: "manual", cache: "no-store" }).catch(() => null);
  if (!answer) return false;
  if (!answer.ok) await (await seen()).delete(path);
  else await (await seen()).put(path, answer);
  return true;
}
