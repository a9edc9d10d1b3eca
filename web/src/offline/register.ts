// Only what was built has a service worker, and only a secure context (https, or this machine's own address) allows one.
export function keepForOffline(): void {
  if (!import.meta.env.PROD || !('serviceWorker' in navigator)) return;
  navigator.serviceWorker.register('/worker.js').catch((error: unknown) => console.warn(`no offline page: ${String(error)}`));
}
