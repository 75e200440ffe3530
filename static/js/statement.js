// Advice under a causal statement while it is written. Each pause asks the server, which stores nothing;
// what it says stands under the field and is read out politely. Without this script the advice stands
// beside the cause once it is saved.
//
// <textarea name="statement">, in a form that is sent to …/causes or …/causes/7
const PAUSE = 500;

export function enhance(root) {
  for (const field of root.querySelectorAll('form[action*="/causes"] textarea[name="statement"]')) watch(field);
}

function watch(field) {
  if (field.dataset.advised) return;
  field.dataset.advised = "yes";
  const place = document.createElement("div");
  place.className = "advice-place";
  place.setAttribute("role", "status");
  field.after(place);
  let timer;
  let asked = 0;
  const look = async () => {
    const text = field.value.trim();
    const turn = ++asked;
    if (text.length < 12) return place.replaceChildren();
    try {
      const answer = await fetch("/causes/advice", { method: "POST", body: new URLSearchParams({ statement: text }) });
      // A later pause has asked anew, or the server had something else to say: then silence is better.
      if (!answer.ok || turn !== asked) return;
      const doc = new DOMParser().parseFromString(await answer.text(), "text/html");
      place.replaceChildren(...doc.body.childNodes);
    } catch {
      place.replaceChildren();
    }
  };
  field.addEventListener("input", () => {
    clearTimeout(timer);
    timer = setTimeout(look, PAUSE);
  });
  look();
}
