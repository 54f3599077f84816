// Fills the app's database with a big notebook: the same one each time, but for
// the bytes of the photos, which the browser's own JPEG writer makes.
// Arguments: how many consoles, readings and photos, and records in all.
const [consoles, readings, photos, total] = arguments;
let seed = 20261125;
const chance = () => {
    // mulberry32, public domain, from memory: good enough to mix words.
    seed = (seed + 0x6D2B79F5) | 0;
    let t = Math.imul(seed ^ (seed >>> 15), 1 | seed);
    t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t;
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
};
const whole = (from, to) => from + Math.floor(chance() * (to - from + 1));
const pick = (list) => list[whole(0, list.length - 1)];
const hex = (n, width) => n.toString(16).toUpperCase().padStart(width, '0');
const id = () => Array.from({ length: 16 }, () => pick('0123456789abcdefghjkmnpqrstvwxyz')).join('');
const day = (at) => new Date(at).toISOString().slice(0, 10);
const WORDS = `board fan coil ripple cold joint reflow solder regulator standby ticks drops rail
    short measured again after warm start swapped capacitor bulged cleaned flux connector seated
    thermal paste lifted pad traced back to the supply holds so far same code as before nothing
    visible under the lens probe slipped check the coil first slow rise then gone`.split(/\s+/);
const NAMES = ['attic', 'flea market', 'blue', 'cellar', 'loud', 'quiet', 'river', 'Jonas', 'parts bin', 'early'];
const PLACES = ['V_CORE coil to ground', 'V_STBY test point', 'R114', 'Fan plug pin 2', 'C201 to ground', 'Bridge output'];
const words = (from, to) => {
    const text = Array.from({ length: whole(from, to) }, () => pick(WORDS)).join(' ');
    return text && text[0].toUpperCase() + text.slice(1) + '.';
};
const codes = Array.from({ length: 24 }, () => hex(whole(0x1000, 0xFFFF), 4));

// A log of 24 to 64 entries, its text and its entries beside it.
const reading = (at) => {
    const n = whole(24, 64);
    const start = Math.floor(at / 1000) - n * 5000;
    const lines = ['fault log: ' + n + ' slots, next slot 00'];
    const entries = [];
    for (let i = 0; i < n; i += 1) {
        const utc = start + i * whole(60, 5000);
        const time = hex(utc - 946684800, 8);
        const [code, step, count] = [pick(codes), hex(whole(1, 40), 2), whole(1, 4)];
        lines.push(`slot ${String(i).padStart(2, '0')}  step ${step}  code ${code}  clock ${time}  seen ${hex(count, 2)}`);
        entries.push({ code, step, time, clock: 'set', slot: i, count, utc });
    }
    const text = words(5, 20) + '\n[code]\n' + lines.join('\n') + '\nend of log\n[/code]\n';
    return { text, entries, ring: n, doubts: 0, book: 'larkfield-orrery', summary: `${n} entries, the newest ${entries.at(-1).code}` };
};

// What each kind says. Records of a console come round after round.
const MADE = {
    symptom: () => ({ lamp: pick(['red, three short', 'amber, steady', 'off']), seconds: String(whole(1, 30)), note: words(6, 30) }),
    measurement: () => ({
        quantity: pick(['resistance', 'voltage']), place: pick(PLACES), value: (chance() * 10).toFixed(3), percent: '0.8', counts: '3',
        meter: 'Bench meter, 6 range', condition: pick(['off', 'standby', 'running']), ...(chance() < 0.5 ? { note: words(4, 25) } : {}),
    }),
    check: () => ({ what: words(3, 8), result: pick(['good', 'bad', 'unclear']), note: words(0, 30) }),
    repair: () => ({ what: words(4, 10), parts: Array.from({ length: whole(1, 4) }, () => `C${whole(1, 400)}: ${whole(1, 470)} uF, own stock`).join('\n'), cost: String(whole(0, 40)), note: words(5, 60) }),
    note: () => ({ note: words(10, 120) + '\n' + words(5, 60) }),
    'follow-up': (at) => ({ day: day(at), ...(chance() < 0.7 ? { done: day(at + 86400000), found: 'holds' } : {}), note: words(0, 20) }),
};
const rows = [];
const put = (own, kind, console, at, data) => {
    const full = kind === 'console' ? data : { console, day: day(at), ...data };
    const version = (rev, data) => ({ rev, by: 'bench1.s' + rev, n: whole(0, 5), at: at + rev * 60000, data, ...(rev > 1 ? { seen: [[rev - 1, 'bench1.s' + (rev - 1), 9]] } : {}) });
    // One in four was changed later, once or twice.
    const times = chance() < 0.25 ? whole(2, 3) : 1;
    const versions = [];
    for (let rev = 1; rev <= times; rev += 1) versions.push(version(rev, rev < times ? { ...full, note: words(2, 12) } : full));
    rows.push({ id: own, kind, console, body: JSON.stringify({ id: own, kind, created: at, versions }) });
};

return (async () => {
    const sums = new Int32Array(256).map((_, n) => {
        for (let k = 0; k < 8; k += 1) n = n & 1 ? (n >>> 1) ^ 0xEDB88320 : n >>> 1;
        return n;
    });
    const pictures = [];
    for (let n = 0; n < 8; n += 1) {
        const canvas = Object.assign(document.createElement('canvas'), { width: 1600, height: 1200 });
        const pen = canvas.getContext('2d');
        for (let i = 0; i < 1500; i += 1) {
            pen.fillStyle = `hsl(${whole(60, 160)} ${whole(20, 80)}% ${whole(10, 80)}%)`;
            pen.fillRect(whole(0, 1600), whole(0, 1200), whole(4, 90), whole(4, 90));
        }
        const blob = await new Promise((done) => canvas.toBlob(done, 'image/jpeg', 0.62));
        const bytes = new Uint8Array(await blob.arrayBuffer());
        let sum = -1;
        for (const byte of bytes) sum = sums[(sum ^ byte) & 255] ^ (sum >>> 8);
        pictures.push({ blob, bytes: bytes.length, sum: ~sum >>> 0 });
    }
    const first = Date.UTC(2019, 2, 1);
    const homes = Array.from({ length: consoles }, (_, n) => ({ id: id(), at: first + n * 11 * 86400000, jobs: [], photos: [] }));
    const pictured = [];
    for (let n = 0; n < photos; n += 1) {
        const [home, own, { blob, bytes, sum }] = [homes[n % consoles], id(), pictures[n % 8]];
        put(own, 'photo', home.id, home.at + n, { caption: words(2, 6), wide: 1600, high: 1200, bytes, sum });
        home.photos.push(own);
        pictured.push([own, blob]);
    }
    homes.forEach((home, n) => {
        const [book, board] = [['larkfield-orrery', 'OM-4'], ['larkfield-halyard', 'HB-2'], ['larkfield-tamsin', 'TS-1']][n % 3];
        put(home.id, 'console', home.id, home.at, { name: `${pick(NAMES)} ${n + 1}`, book, board, region: 'EU', from: words(2, 6), price: String(whole(5, 90)), serial: hex(whole(1, 1e9), 8), note: words(5, 40), photo: home.photos[0] });
        for (let j = 0; j < 2; j += 1) {
            const own = id();
            const closed = j === 0 ? { stage: 'closed', outcome: 'repaired', closed: day(home.at + 9e8) } : { stage: pick(['open', 'apart', 'parts', 'testing']) };
            put(own, 'job', home.id, home.at + j * 1e9, { name: words(3, 8), cause: words(3, 8), note: words(5, 40), ...closed });
            home.jobs.push(own);
        }
    });
    const job = (home) => (chance() < 0.9 ? { job: pick(home.jobs) } : {});
    for (let n = 0; n < readings; n += 1) {
        const home = homes[n % consoles];
        const at = home.at + n * 1e6;
        put(id(), 'reading', home.id, at, { ...reading(at), ...job(home) });
    }
    const mix = ['measurement', 'measurement', 'note', 'check', 'measurement', 'repair', 'symptom', 'measurement', 'note', 'follow-up'];
    for (let n = 0; rows.length < total; n += 1) {
        const home = homes[n % consoles];
        const kind = mix[Math.floor(n / consoles) % mix.length];
        const at = home.at + n * 40000;
        const shot = kind === 'repair' && home.photos[1] ? { after: home.photos[1] } : {};
        put(id(), kind, home.id, at, { ...MADE[kind](at), ...job(home), ...shot });
    }
    const asked = indexedDB.open('faultleaf');
    const db = await new Promise((done, failed) => { asked.onsuccess = () => done(asked.result); asked.onerror = failed; });
    const write = (store, list, add) => new Promise((done, failed) => {
        const tx = db.transaction(store, 'readwrite', { durability: 'relaxed' });
        list.forEach((one) => add(tx.objectStore(store), one));
        [tx.oncomplete, tx.onabort] = [done, () => failed(tx.error)];
    });
    for (let n = 0; n < rows.length; n += 2000) await write('records', rows.slice(n, n + 2000), (s, row) => s.put(row));
    for (let n = 0; n < pictured.length; n += 50) await write('photos', pictured.slice(n, n + 50), (s, [own, blob]) => s.put(blob, own));
    db.close();
    const kinds = {};
    rows.forEach((row) => { kinds[row.kind] = (kinds[row.kind] ?? 0) + 1; });
    return {
        kinds, records: rows.length, text: rows.reduce((sum, row) => sum + row.body.length, 0),
        photos: pictured.length, pictures: pictured.reduce((sum, [, blob]) => sum + blob.size, 0), console: homes[7].id,
    };
})();
