// Runs in the browser, from outside the page: (addresses, texts, held) → held.
// `held.fields[form name]` is { next, most, refuses }: which text comes next, how many characters the field
// takes as far as is known, and whether it takes no words at all.
const [addresses, texts, before, done] = arguments;
const held = { fields: before.fields || {}, unfinished: 0 };
const SIZES = [19000, 5900, 1990, 600, 300, 160, 120, 60];

// Fields of words: not those that are hidden, chosen, or numbers by their kind.
const isText = field => field.tagName === 'TEXTAREA' || (field.tagName === 'INPUT' && field.type === 'text');
const general = address => address.replace(/\d+(-\d+)?/g, '1');

function next(state) {
    let text = '', at = state.next;
    while (at < texts.length) {
        const longer = text ? text + ' ' + texts[at] : texts[at];
        if ([...longer].length > state.most) break;
        text = longer;
        at += 1;
    }
    return { text, at };
}

async function send(form, values) {
    const answer = await fetch(form.getAttribute('action') || form.ownerDocument.baseURI, {
        method: 'POST',
        body: new URLSearchParams(values),
    });
    return [answer, new DOMParser().parseFromString(await answer.text(), 'text/html')];
}

async function fillForm(form, key) {
    const fields = [...form.elements].filter(field => isText(field) && field.name);
    const states = new Map();
    for (const field of fields) {
        const state = (held.fields[`${key} ${field.name}`] ??= { next: 0, most: SIZES[0], refuses: false });
        if (!state.refuses && state.next < texts.length && !states.has(field.name)) states.set(field.name, state);
    }
    for (let turn = 0; states.size > 0 && turn < 2 * SIZES.length; turn += 1) {
        const values = [...new FormData(form)].filter(([name, value]) => typeof value === 'string');
        const sent = new Map();
        for (const pair of values) {
            const state = states.get(pair[0]);
            if (!state || sent.has(pair[0])) continue;
            sent.set(pair[0], next(state));
            if (sent.get(pair[0]).text) pair[1] = sent.get(pair[0]).text;
        }
        const [answer, page] = await send(form, values);
        if (answer.ok || answer.status === 409 || answer.status === 404) {
            for (const [name, part] of sent) {
                const state = states.get(name);
                if (part.at === state.next) state.refuses = true;
                state.next = part.at;
            }
            return answer.status;
        }
        const wrong = new Set([...page.querySelectorAll('[aria-invalid=true]')].map(field => field.name));
        let lowered = false;
        for (const [name, state] of states) {
            if (!wrong.has(name)) continue;
            const smaller = SIZES.find(size => size < state.most && size < [...sent.get(name).text].length);
            if (smaller) state.most = smaller;
            else { state.refuses = true; states.delete(name); }
            lowered = true;
        }
        if (!lowered) {
            // The form is refused as a whole: what stands in it cannot be saved from here.
            held.problems = (held.problems || []).concat(`${key}: ${answer.status} ${page.querySelector('h1')?.textContent}`);
            return answer.status;
        }
    }
    return 0;
}

async function fill() {
    const seen = new Set();
    for (const address of addresses) {
        const answer = await fetch(address);
        const page = new DOMParser().parseFromString(await answer.text(), 'text/html');
        for (const form of page.querySelectorAll('main form[method=post]')) {
            const key = general(form.getAttribute('action') || address.split('?')[0]);
            if (seen.has(key)) continue;
            seen.add(key);
            await fillForm(form, key);
        }
    }
    held.unfinished = Object.values(held.fields).filter(state => !state.refuses && state.next < texts.length).length;
    return held;
}

fill().then(done, error => done(String(error.stack || error)));
