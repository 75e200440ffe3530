// Windows of one case in step: either can lead, and one alone does without.

/** Sends to the other windows of the case, and hears them. */
export function channel(code, hear) {
  if (typeof BroadcastChannel === "undefined") return { send() {} };
  const wire = new BroadcastChannel(`relook-present-${code}`);
  wire.addEventListener("message", (event) => hear(event.data ?? {}));
  return { send: (message) => wire.postMessage(message) };
}
