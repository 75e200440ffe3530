// The light of the room: dark at first, kept, the same in every window.

import { kept } from "./store.js";

const NAME = "relook-room";
const root = document.documentElement;

export function room() {
  return root.dataset.room === "light" ? "light" : "dark";
}

/** Shows a room, and says on the buttons which one they lead to. */
export function setRoom(light) {
  root.dataset.room = light === "light" ? "light" : "dark";
  kept.write(NAME, root.dataset.room);
  for (const button of document.querySelectorAll("[data-do=room]")) {
    button.textContent = room() === "light" ? "Dark room" : "Light room";
  }
}

export const startRoom = () => setRoom(kept.read(NAME) ?? "dark");
export const otherRoom = () => (room() === "light" ? "dark" : "light");
