// Runs in the browser, from outside the page: (addresses, texts, short, held) → held.
// `held.fields["form name"]` is { next, most, refuses }: which text comes next, how many characters the field
// takes as far as is known, and whether it takes no words at all. A short field is through after `short` texts.
const [addresses, texts, short, before, done] = arguments;
const held = { fields: before.fields || {}, finished: before.finished || {}, problems: before.problems || {}, unfinished: 0 };
const SIZES = [19000, 5900, 1990, 600, 300, 160, 120, 60];

// Fields of words: not those that are hidden, chosen, or numbers by their kind.
const isText = field => field.tagName === 'TEXTAREA' || (field.tagName === 'INPUT' && field.type === 'text');
const general = address => address.replace(/\d+(-\d+)?/g, '1');
const goal = state => (state.most <= 160 ? short : texts.length);
const isOpen = state => !state.refuses && state.next < goal(state);

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

async function send(form, action, values) {
    const answer = await fetch(action, { method: 'POST', body: new URLSearchParams(values), redirect: 'manual' });
    // A redirect is how a save is answered; where it leads is shown later.
    if (answer.type === 'opaqueredirect') return [true, 303, null];
    return [answer.ok, answer.status, new DOMParser().parseFromString(await answer.text(), 'text/html')];
}

async function fillForm(form, action, key) {
    const states = new Map();
    for (const field of [...form.elements].filter(field => isText(field) && field.name)) {
        const state = (held.fields[`${key} ${field.name}`] ??= { next: 0, most: SIZES[0], refuses: false });
        if (isOpen(state)) states.set(field.name, state);
    }
    for (let turn = 0; states.size > 0 && turn < 3 * SIZES.length; turn += 1) {
        const values = [...new FormData(form)].filter(([, value]) => typeof value === 'string');
        const sent = new Map();
        for (const pair of values) {
            const state = states.get(pair[0]);
            if (!state || sent.has(pair[0])) continue;
            sent.set(pair[0], next(state));
            pair[1] = sent.get(pair[0]).text;
        }
        const [ok, status, page] = await send(form, action, values);
        if (ok) {
            for (const [name, part] of sent) states.get(name).next = part.at;
            return;
        }
        const wrong = new Set([...page.querySelectorAll('[aria-invalid=true]')].map(field => field.name));
        let changed = false;
        for (const [name, state] of states) {
            if (!wrong.has(name)) continue;
            const smaller = SIZES.find(size => size < state.most && size < [...sent.get(name).text].length);
            if (smaller) state.most = smaller;
            else state.refuses = true;
            if (!isOpen(state)) states.delete(name);
            changed = true;
        }
        if (!changed) {
            held.problems[key] = `${status} ${page.querySelector('h1')?.textContent} ${[...wrong].join(' ')}`;
            for (const state of states.values()) state.refuses = true;
            return;
        }
    }
}

async function fill() {
    const seen = new Set();
    for (const address of addresses) {
        if (held.finished[address]) continue;
        const answer = await fetch(address);
        const page = new DOMParser().parseFromString(await answer.text(), 'text/html');
        let open = false;
        for (const form of page.querySelectorAll('main form[method=post]')) {
            const action = form.getAttribute('action') || address;
            const key = general(action.split('?')[0]);
            if (seen.has(key)) continue;
            seen.add(key);
            await fillForm(form, action, key);
            open ||= Object.entries(held.fields).some(([name, state]) => name.startsWith(`${key} `) && isOpen(state));
        }
        held.finished[address] = !open;
    }
    held.unfinished = Object.values(held.fields).filter(isOpen).length;
    return held;
}

fill().then(done, error => done(String(error.stack || error)));
