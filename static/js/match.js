// Finding an entry of a list by the first letters of any of its words. No page, no events: it can be tried alone.

/** Lower case, without accents, with one space between words. */
export const plain = (text) =>
  text.normalize("NFD").replace(/\p{M}/gu, "").toLowerCase().replace(/[^\p{L}\p{N}]+/gu, " ").trim();

/** Prepares an entry: its label, its group, and other words for it (phrases between commas). */
export const entry = (label, group = "", words = "") => ({
  label,
  group,
  plainLabel: plain(label),
  plainGroup: plain(group),
  phrases: words.split(",").map((text) => text.trim()).filter(Boolean).map((text) => ({ text, plain: plain(text) })),
});

const startsWord = (text, part) => ` ${text}`.includes(` ${part}`);
const inside = (text, part) => part.length >= 3 && text.includes(part);

/** How well one typed word fits an entry: 0 is best, undefined is not at all. */
function fit(item, part) {
  if (startsWord(item.plainLabel, part)) return { rank: 1 };
  const phrase = item.phrases.find((each) => startsWord(each.plain, part));
  if (phrase) return { rank: 2, phrase };
  if (startsWord(item.plainGroup, part)) return { rank: 3 };
  if (inside(item.plainLabel, part)) return { rank: 4 };
  const deep = item.phrases.find((each) => inside(each.plain, part));
  return deep && { rank: 5, phrase: deep };
}

/**
 * The entries that fit what was typed, best first and otherwise in their own order. Each comes with the
 * other word by which it was found, if it was.
 * @returns {{item: object, via: string}[]}
 */
export function find(items, typed) {
  const query = plain(typed);
  if (!query) return items.map((item) => ({ item, via: "" }));
  const parts = query.split(" ");
  const found = [];
  for (const item of items) {
    const fits = parts.map((part) => fit(item, part));
    if (fits.includes(undefined)) continue;
    const rank = item.plainLabel.startsWith(query) ? 0 : Math.max(...fits.map((each) => each.rank));
    found.push({ item, rank, via: fits.find((each) => each.phrase)?.phrase.text ?? "" });
  }
  return found.sort((a, b) => a.rank - b.rank).map(({ item, via }) => ({ item, via }));
}
