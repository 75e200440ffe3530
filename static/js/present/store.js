// What a browser keeps: JSON under a name, and nothing where it may keep nothing.

const read = (place, name) => {
  try {
    return JSON.parse(place().getItem(name));
  } catch {
    return null;
  }
};

const write = (place, name, value) => {
  try {
    place().setItem(name, JSON.stringify(value));
  } catch {
    // It may keep nothing here.
  }
};

/** Kept until it is replaced, and shared by all windows of the case. */
export const kept = {
  read: (name) => read(() => localStorage, name),
  write: (name, value) => write(() => localStorage, name, value),
};

/** Kept while this window is open. */
export const here = {
  read: (name) => read(() => sessionStorage, name),
  write: (name, value) => write(() => sessionStorage, name, value),
};
