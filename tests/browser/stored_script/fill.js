// Runs in the browser, from outside the page: (addresses, texts, short, held) → held.
// `held.fields["form name"]` is { next, most, refuses }: which text comes next, how many characters the field
// takes as far as is known, and whether it takes no words at all. A short field is through after `short` texts.
const [addresses, texts, short, before, done] = arguments;
const held = { round: (before.round || 0) + 1, fields: before.fields || {}, finished: before.finished || {}, problems: before.problems || {}, unfinished: 0 };
const SIZES = [19000, 5900, 1990, 600, 300, 160, 120, 60, 40];

// Fields of words: not those that are hidden, chosen, or numbers by their kind.
const isText = field => field.tagName === 'TEXTAREA'
    || (field.tagName === 'INPUT' && field.type === 'text' && !['decimal', 'numeric'].includes(field.inputMode));
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

// What a field of another kind is given when the form asks for it and it is empty.
const PLAIN = ['5:00', '12', '2026-05-01', '20 mg'];
function plain(form, name, tried) {
    const field = form.elements[name];
    if (field?.tagName === 'SELECT') return [...field.options].map(option => option.value).filter(Boolean)[tried];
    if (name === 'slug') return [`zq-${held.round}`][tried];
    // Each conference has a day of its own.
    if (field?.type === 'date') return [`${2030 + held.round}-05-01`, '2026-05-01'][tried];
    if (field?.type === 'month') return ['2026-05', '2025-05'][tried];
    return PLAIN[tried];
}

// The names of radio buttons, each with one of its values: those of which none is chosen with the first; from
// the second turn on all of them, since some words belong to one choice alone.
function radios(form, turn) {
    const all = [...form.elements].filter(field => field.type === 'radio');
    const chosen = new Set(all.filter(field => field.checked).map(field => field.name));
    const names = [...new Set(all.map(field => field.name))].filter(name => turn > 0 || !chosen.has(name));
    return names.map(name => {
        const values = all.filter(field => field.name === name).map(field => field.value);
        return [name, values.at(-1 - ((turn + values.length - 1) % values.length))];
    });
}
// How often the radio buttons of a form are tried with other values.
const RADIO_TURNS = 5;

async function fillForm(form, action, key) {
    const states = new Map();
    for (const field of [...form.elements].filter(field => isText(field) && field.name)) {
        const state = (held.fields[`${key} ${field.name}`] ??= { next: 0, most: SIZES[0], refuses: false });
        state.round = held.round;
        if (isOpen(state)) states.set(field.name, state);
    }
    const hasRadios = [...form.elements].some(field => field.type === 'radio');
    const given = new Map(radios(form, 0)), tried = new Map();
    for (let turn = 0, choice = 0; states.size > 0 && turn < 8 * SIZES.length; turn += 1) {
        const values = [...new FormData(form)].filter(([name, value]) => typeof value === 'string' && !given.has(name));
        values.push(...given);
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
        for (const name of wrong) {
            const state = states.get(name);
            if (!state) {
                const value = plain(form, name, tried.get(name) || 0);
                tried.set(name, (tried.get(name) || 0) + 1);
                if (value) given.set(name, value);
                changed ||= Boolean(value);
                continue;
            }
            const smaller = SIZES.find(size => size < state.most && size < [...sent.get(name).text].length);
            if (smaller) state.most = smaller;
            // Texts with control characters come last; a field that takes none of them took the others.
            else if (state.next >= short) state.next = texts.length;
            else if (hasRadios && choice < RADIO_TURNS) {
                choice += 1;
                state.most = SIZES[3];
                for (const [radio, value] of radios(form, choice)) given.set(radio, value);
            } else state.refuses = true;
            if (!isOpen(state)) states.delete(name);
            changed = true;
        }
        if (!changed) {
            held.problems[key] = `${status} ${page.querySelector('h1')?.textContent.slice(0, 40)}: ${[...wrong].join(' ')}`;
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
    // A field that is on no form any more, such as the note of a screen that went, is through.
    const left = state => isOpen(state) && state.round === held.round;
    held.open = Object.keys(held.fields).filter(name => left(held.fields[name]));
    held.unfinished = held.open.length;
    return held;
}

fill().then(done, error => done(String(error.stack || error)));
