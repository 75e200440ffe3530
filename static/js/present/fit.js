// How large the text of a screen is: as large as fits.

/** Whether something of a screen would be cut off. */
function overflows(screen) {
  const body = screen.querySelector(".deck-body");
  const over = (box) => box && (box.scrollHeight > box.clientHeight + 1 || box.scrollWidth > box.clientWidth + 1);
  return over(screen) || over(body);
}

/** The sizes of text, from the largest; under a drawing words stay smaller than it. The last is for a low window, in which the least that is read would be cut off. */
const SIZES = [4, 3, 2, 1, 0, -1];
const LARGEST_UNDER_DRAWING = 2;

export function fit(screen) {
  const largest = screen.querySelector(".drawing") ? LARGEST_UNDER_DRAWING : SIZES[0];
  for (const size of SIZES.filter((one) => one <= largest)) {
    screen.dataset.fit = String(size);
    if (!overflows(screen)) return;
  }
}
