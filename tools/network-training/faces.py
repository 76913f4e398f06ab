"""Real pictures -> label pixels like those of prepare.py: sawn faces with labels.json (or the source's boxes.json) and clear sections."""
import glob, os
import numpy as np
from common import *

KIND = {"knot": KNOT, "crack": CRACK, "pocket": POCKET, "hole": HOLE, "dent": DENT, "pith": PITH, "marking": MARKING, "machining": MACHINING,
        "tornGrain": MACHINING}
FROM_BOX = {"live-knot": "knot", "dead-knot": "knot", "knot-with-crack": "knot", "knot-missing": "knot", "resin": "pocket", "crack": "crack",
            "quartzity": "pith", "marrow": "pith"}
# What a label says nothing about on the whole picture: nobody marked dirt, glare, sapwood ... everywhere.
UNMARKED = bit(MACHINING, DIRT, GLARE, INDENTED, SAPWOOD, STREAK) << 16


def wood_mask(img):
    """Board against the black background, column by column: from the first to the last pixel of a bright run."""
    bright = img.max(2) > 40
    run = np.stack([np.convolve(c, np.ones(9), "same") >= 7 for c in bright.T.astype(float)], 1)
    some = run.any(0)
    first, last = run.argmax(0), len(run) - 1 - run[::-1].argmax(0)
    y = np.arange(len(run))[:, None]
    return (y >= first - 3) & (y <= last + 3) & some & ((y >= first) & (y <= last) | bright)


def ellipse(h, w, box):
    x0, y0, x1, y1 = box
    y, x = np.mgrid[:h, :w]
    return ((x - (x0 + x1) / 2) / max(1, (x1 - x0) / 2)) ** 2 + ((y - (y0 + y1) / 2) / max(1, (y1 - y0) / 2)) ** 2 <= 1


def inside(h, w, box, more=0):
    out = np.zeros((h, w), bool)
    x0, y0, x1, y1 = box
    out[max(0, int(y0 - more)):max(0, int(np.ceil(y1 + more))), max(0, int(x0 - more)):max(0, int(np.ceil(x1 + more)))] = True
    return out


def label(img, marks):
    """Label pixels and the middles of marks, oftener where they are rare."""
    h, w = img.shape[:2]
    bits = np.where(wood_mask(img), bit(WOOD), 0).astype(np.uint32) | UNMARKED
    at = []
    for m in marks:
        c, box = KIND.get(m["kind"]), m["box"]
        if c == MACHINING and not m.get("sure", True):        # an area in which there are such marks: nothing is said of its pixels
            continue
        whole = inside(h, w, box, 2)
        if c is None or not m.get("sure", True):
            bits[whole] |= UNASKED & ~(bit(WOOD) << 16)
            continue
        if m.get("polygon"):
            shape = polygon(h, w, m["polygon"])
            if c == CRACK:
                shape |= dilate(shape, 1) & dilate(shape, 0) | line(h, w, m.get("centre"))
            around = dilate(shape, 3) & ~shape
        elif c == CRACK:                                     # a box alone: its darkest part, the middle greys left out
            grey = img.min(2).astype(float)
            inner = inside(h, w, box)
            dark = np.percentile(grey[inner], 22) if inner.any() else 0
            shape, around = inner & (grey <= dark), whole & (grey > dark) & (grey < np.percentile(grey[inner], 55))
        else:
            shape = ellipse(h, w, box)
            around = whole & ~shape
        bits[around] |= UNASKED & ~(bit(WOOD) << 16)
        bits[shape] = (bits[shape] & ~np.uint32(bit(c) << 16)) | np.uint32(bit(c))
        if c == KNOT and m.get("label") == "knot-with-crack":
            bits[whole] |= bit(CRACK) << 16
        if c == KNOT and m.get("label") == "knot-missing":
            bits[whole] |= bit(HOLE) << 16
        often = {CRACK: 8, POCKET: 2, HOLE: 3, PITH: 2, MACHINING: 2}.get(c, 1)
        x0, y0, x1, y1 = box
        for _ in range(often):
            t = np.random.rand() if c in (CRACK, PITH, MACHINING) else .5
            at.append((x0 + t * (x1 - x0), y0 + t * (y1 - y0)))
    # A mark's own place is asked for even where another mark's surroundings were not.
    own = bits & np.uint32((1 << K) - 1) & ~np.uint32(bit(WOOD))
    return bits & ~(own << np.uint32(16)), at


def line(h, w, points):
    out = np.zeros((h, w), bool)
    for (x0, y0), (x1, y1) in zip(points or [], (points or [])[1:]):
        n = int(max(abs(x1 - x0), abs(y1 - y0)) * 2) + 2
        x, y = np.rint(np.linspace(x0, x1, n)).astype(int), np.rint(np.linspace(y0, y1, n)).astype(int)
        ok = (x >= 0) & (y >= 0) & (x < w) & (y < h)
        out[y[ok], x[ok]] = True
    return out


def read_faces(folder):
    """-> dicts name, split, img, marks: fibres along x, 6 px/mm."""
    out = []
    if os.path.exists(os.path.join(folder, "labels.json")):
        for p in load_json(os.path.join(folder, "labels.json"))["pictures"]:
            out.append(dict(name=p["file"], split=p["split"], img=read_rgb(os.path.join(folder, p["file"])), marks=p["marks"]))
        return out
    boxes = load_json(os.path.join(folder, "boxes.json"))    # 9 px/mm assumed, fibres along the short side: turned by 90 degrees
    for k, name in enumerate(sorted(boxes)):
        img = np.ascontiguousarray(np.rot90(resize(read_rgb(os.path.join(folder, name)), 2 / 3)))
        h = img.shape[0]
        marks = []
        for b in boxes[name]:
            x0, y0, x1, y1 = [v * 2 / 3 for v in b["box"]]
            marks.append(dict(kind=FROM_BOX[b["kind"]], label=b["kind"], sure=True, box=[y0, h - x1, y1, h - x0]))
        out.append(dict(name=name, split="choose" if k % 7 == 3 else "train", img=img, marks=marks))
    return out


def read_sections(pattern):
    """Clear sections of known species: no blemish anywhere; both ways round, since the fibres' direction is not told."""
    out = []
    for f in sorted(glob.glob(pattern))[::2]:
        img = read_rgb(f)
        for im in (img, np.ascontiguousarray(np.rot90(img))):
            bits = np.full(im.shape[:2], bit(WOOD), np.uint32) | UNMARKED | np.uint32(bit(STAIN, PITH, MARKING) << 16)
            out.append((im, bits, []))
    return out


# ---------------------------------------------------------------- cracks moved from face to face, cracks drawn on faces
def crack_patches(faces):
    """Each outlined real crack as what it does to the wood's light: ratio to its surroundings, and its mask."""
    out = []
    for f in faces:
        h, w = f["img"].shape[:2]
        for m in f["marks"]:
            if m["kind"] != "crack" or not m.get("polygon") or not m.get("sure", True):
                continue
            x0, y0, x1, y1 = [int(round(v)) for v in m["box"]]
            x0, y0, x1, y1 = max(0, x0 - 8), max(0, y0 - 8), min(w, x1 + 8), min(h, y1 + 8)
            if x1 - x0 < 14 or y1 - y0 < 14:
                continue
            shape = polygon(h, w, m["polygon"])[y0:y1, x0:x1]
            if shape.sum() < 8:
                continue
            rgb = f["img"][y0:y1, x0:x1].astype(np.float32) + 4
            near = ~dilate(shape, 3)
            t = torch.from_numpy(np.concatenate([rgb * near[..., None], near[..., None]], 2).astype(np.float32)).permute(2, 0, 1)[None]
            t = F.avg_pool2d(t, 21, 1, 10, count_include_pad=False)[0].permute(1, 2, 0).numpy()
            ground = np.where(t[..., 3:] > .02, t[..., :3] / np.maximum(t[..., 3:], 1e-3), rgb)
            ratio = np.clip(rgb / np.maximum(ground, 8), .03, 1.6)
            soft = np.clip(F.avg_pool2d(torch.from_numpy(dilate(shape, 2).astype(np.float32))[None, None], 3, 1, 1)[0, 0].numpy(), 0, 1)[..., None]
            out.append((1 + soft * (ratio - 1), shape))
    return out


def paste_crack(img, bits, patch, rng):
    ratio, shape = patch
    h, w = bits.shape
    zoom, turn, power = rng.uniform(.6, 1.6), rng.normal(0, .07), rng.uniform(.55, 1.35)
    ph, pw = int(ratio.shape[0] * zoom) + 2, int(ratio.shape[1] * zoom) + 2
    y, x = np.mgrid[:ph, :pw].astype(np.float32)
    y, x = y - ph / 2, x - pw / 2
    u = (np.cos(turn) * x - np.sin(turn) * y) / zoom * rng.choice([-1, 1]) + ratio.shape[1] / 2
    v = (np.sin(turn) * x + np.cos(turn) * y) / zoom * rng.choice([-1, 1]) + ratio.shape[0] / 2
    ok = (u >= 0) & (v >= 0) & (u < ratio.shape[1] - 1) & (v < ratio.shape[0] - 1)
    both = sample(np.concatenate([ratio, shape[..., None]], 2), u, v)
    x0, y0 = int(rng.uniform(-pw * .3, w - pw * .7)), int(rng.uniform(0, h - ph * .5))
    sy, sx = slice(max(0, y0), min(h, y0 + ph)), slice(max(0, x0), min(w, x0 + pw))
    if sy.stop - sy.start < 5 or sx.stop - sx.start < 5:
        return None
    cut = (slice(sy.start - y0, sy.stop - y0), slice(sx.start - x0, sx.stop - x0))
    r, m, ok = both[cut][..., :3], both[cut][..., 3], ok[cut]
    on = (bits[sy, sx] & bit(WOOD)) > 0
    ok = ok & on & ((bits[sy, sx] & bit(KNOT)) == 0)
    img[sy, sx] *= np.where(ok[..., None], np.clip(r, .03, 1.6) ** power, 1)
    put(bits, (sy, sx), ok & (m > .45), ok & (m > .1) & (m <= .45))
    return x0 + pw / 2, y0 + ph / 2


def put(bits, where, hit, around):
    b = bits[where]
    b = np.where(hit, (b & ~np.uint32((bit(CRACK) << 16) | bit(MACHINING))) | np.uint32(bit(CRACK)), b)
    bits[where] = np.where(around & ~hit, b | np.uint32(bit(CRACK) << 16), b)


def draw_crack(img, bits, rng):
    """A wandering dark line along the fibres: half a pixel to a few wide, tapering, in pieces now and then, with a soft edge."""
    h, w = bits.shape
    n = int(np.exp(rng.uniform(np.log(18), np.log(min(360, w * 1.3)))))
    x0, y0 = rng.uniform(-n / 3, w - n * .6), rng.uniform(60, h - 60)
    xs = np.arange(n, dtype=float)
    smooth = lambda k, s: np.convolve(rng.normal(0, s, n + k - 1), np.ones(k) / k, "valid")
    ys = y0 + np.cumsum(smooth(15, rng.uniform(.1, .7))) + xs * rng.normal(0, .05)
    half = np.exp(rng.uniform(np.log(.3), np.log(2.2))) * np.minimum(1, np.minimum(xs + 1, n - xs) / (n * .25)) * (1 + .4 * smooth(9, 1))
    if rng.random() < .4:
        half *= np.clip(.6 + 1.5 * smooth(21, 1.5), 0, 1)
    if rng.random() < .3:
        ys += np.floor(xs / rng.uniform(12, 50)) % 2 * rng.uniform(.8, 3)
    keep = (xs + x0 >= 0) & (xs + x0 < w)
    if not keep.any():
        return None
    cols = (xs + x0)[keep].astype(int)
    lo, hi = max(0, int(ys[keep].min()) - 8), min(h, int(ys[keep].max()) + 9)
    if hi - lo < 5:
        return None
    y = np.arange(lo, hi)[:, None]
    d = np.abs(y - ys[keep][None])
    hw = np.maximum(half[keep], 0)[None]
    a = np.clip(np.minimum(d + .5, hw) - np.maximum(d - .5, -hw), 0, 1)
    a = np.where(hw > .05, a, 0).astype(np.float32)
    blur = rng.uniform(.3, .8)
    k = np.exp(-.5 * (np.arange(-2, 3) / blur) ** 2)
    soft = np.apply_along_axis(lambda c: np.convolve(c, k / k.sum(), "same"), 0, a)
    dark = rng.uniform(.35, .95)
    tone = np.array([1., .88, .75]) * rng.uniform(6, 55)
    full = np.zeros((hi - lo, w), np.float32)
    np.maximum.at(full, (slice(None), cols), soft) if False else full.__setitem__((slice(None), cols), soft)
    on = (bits[lo:hi] & bit(WOOD)) > 0
    full *= on
    img[lo:hi] = img[lo:hi] * (1 - dark * full[..., None]) + tone * dark * full[..., None]
    if rng.random() < .3:
        img[lo:hi] *= 1 + .18 * np.roll(full, 2, 0)[..., None] * (1 - full[..., None])
    put(bits, slice(lo, hi), dark * full > .22, (dark * full > .06) & (dark * full <= .22))
    return x0 + n / 2, float(ys[n // 2])


def with_steps(job):
    """Two labelled faces laid edge to edge, where two saw cuts would meet: a straight thin line along the board, dark, pale or none,
    and another surface beyond it. It looks most like a crack and is none."""
    torch.set_num_threads(1)
    face, other, seed = job
    rng = np.random.default_rng(seed)
    bits, at = label(face["img"], face["marks"])
    more, _ = label(other["img"], other["marks"])
    img, h = face["img"].astype(np.float32), min(len(bits), len(more))
    w = min(bits.shape[1], more.shape[1])
    y0, tilt = rng.uniform(.25, .75) * h, rng.normal(0, .006)
    y, x = np.mgrid[:h, :w]
    off = y - (y0 + tilt * (x - w / 2) + .3 * np.sin(x / rng.uniform(30, 200) + rng.uniform(0, 6)))
    if rng.random() < .6:
        gain = img[:h, :w].reshape(-1, 3).mean(0) / np.maximum(other["img"][:h, :w].reshape(-1, 3).mean(0), 1)
        gain = 1 + rng.uniform(.3, 1) * (np.clip(gain, .5, 2) - 1)
        below = off > 0
        img[:h, :w] = np.where(below[..., None], other["img"][:h, :w] * gain, img[:h, :w])
        bits[:h, :w] = np.where(below, more[:h, :w], bits[:h, :w])
        rim = (np.abs(off) < 4) & ((bits[:h, :w] & bit(*BLEMISHES)) > 0)
        bits[:h, :w] = np.where(rim, bits[:h, :w] | UNASKED & ~(bit(WOOD) << 16), bits[:h, :w])
    else:
        img[:h, :w] *= (1 + rng.normal(0, .1) * np.exp(-np.abs(off) / rng.uniform(5, 120)) * np.sign(off))[..., None]
    half, strong = rng.uniform(.3, 1.6), rng.choice([rng.uniform(.1, .5), -rng.uniform(.05, .35)], p=[.8, .2])
    worn = np.clip(.6 + .8 * np.interp(np.arange(w), np.arange(0, w + 20, 20), rng.random(w // 20 + 2)), 0, 1)
    full = rng.random() < .7
    ends = np.ones(w) if full else np.clip((np.arange(w) - rng.uniform(0, w * .6)) / 6, 0, 1)
    line = np.exp(-(off / half) ** 2 / 1.5) * worn * ends * ((bits[:h, :w] & bit(WOOD)) > 0)
    img[:h, :w] *= (1 - strong * line)[..., None]
    on = (np.abs(off) < max(1.5, half)) & (ends > .5) & ((bits[:h, :w] & bit(WOOD)) > 0) & ((bits[:h, :w] & bit(*BLEMISHES)) == 0)
    bits[:h, :w] = np.where(on, (bits[:h, :w] | np.uint32(bit(MACHINING))) & ~np.uint32(bit(MACHINING) << 16), bits[:h, :w])
    return np.clip(img, 0, 255).astype(np.uint8), bits, [(t * w, y0 + tilt * (t - .5) * w) for t in (.15, .4, .6, .85)]


def with_cracks(job):
    """A labelled face with one to three more cracks."""
    face, patches, seed = job
    torch.set_num_threads(1)
    rng = np.random.default_rng(seed)
    bits, at = label(face["img"], face["marks"])
    img, at = face["img"].astype(np.float32), []
    for _ in range(rng.integers(1, 4)):
        put_at = paste_crack(img, bits, patches[rng.integers(len(patches))], rng) if patches and rng.random() < .5 else draw_crack(img, bits, rng)
        if put_at is not None:
            at.append(put_at)
    return np.clip(img, 0, 255).astype(np.uint8), bits, at
