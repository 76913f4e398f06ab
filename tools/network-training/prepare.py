#!/usr/bin/env python3
"""Drawn photos with truth and masks -> training items.

Reads seed-*.json / .jpg / -mask.png that the synthesiser wrote with --masks and writes OUT/part-NN.pkl, lists of dicts:
  strip   uint8 RGB, 42 rows by n columns: along the ring path of an end, 14 columns a mm, rows 1/7 mm apart; 4 mm beyond both ends
  bound   ring boundaries on the strip, in columns
  bad     a byte a column: 0 readable, 1 a thin mark crosses it (crack, marking), 2 no ring to be read (knot, hole, no wood ...),
          3 rings finer than the photo resolves: not asked for
  surf    uint8 RGB, the rectified surface, an end at 9 and a face at 6 px/mm, with 4 mm of bench round it, the long axis of a face along x
  bits    uint32, bit k is class k of common.CLASSES, bit 16 + k says that class k is not asked for at this pixel
usage: prepare.py PHOTOS OUT [processes] [which]   with WHICH: watch PHOTOS until it holds a file `done`, and take one photo in PROCESSES
PREPARE_ON=cuda resamples on the GPU.
"""
import glob, os, pickle, sys
from multiprocessing import Pool
import numpy as np
import torch
from common import *

LEAST_LEVELS = 6          # of 255
DEVICE = os.environ.get("PREPARE_ON", "cpu")
FINEST_PX = 2.0           # a ring narrower than two pixels of the photo cannot be told from its neighbour (Nyquist)
LONGEST = 380.0           # mm of a face kept, about its middle: keeps the rasters small


def strip_of(t, im, bits, cam):
    path = cam.mm(t["rings"]["path"])
    ends = [path[0] + (path[0] - path[min(4, len(path) - 1)]) * 10, path[-1] + (path[-1] - path[max(-5, -len(path))]) * 10]
    for k, (e, p) in enumerate(((0, path[0]), (-1, path[-1]))):
        d = ends[k] - p
        ends[k] = p + d / (np.linalg.norm(d) + 1e-9) * MARGIN
    path = np.concatenate([ends[:1], path, ends[1:]])
    d = np.r_[0, np.cumsum(np.hypot(*np.diff(path, axis=0).T))]
    s = np.arange(0, d[-1], 1 / STRIP_PER_MM)
    x = np.stack([np.interp(s, d, path[:, 0]), np.interp(s, d, path[:, 1])], 1)
    tan = np.gradient(x, axis=0)
    tan = np.stack([np.convolve(np.pad(tan[:, i], 12, "edge"), np.ones(25) / 25, "valid") for i in (0, 1)], 1)
    tan /= np.linalg.norm(tan, axis=1, keepdims=True) + 1e-9
    nor = np.stack([-tan[:, 1], tan[:, 0]], 1)
    off = (np.arange(ROWS) - (ROWS - 1) / 2) / 7
    g = cam.px(x[None] + off[:, None, None] * nor[None])
    m = nearest(bits, g[..., 0], g[..., 1])
    wide = lambda v: (dilate(v, 3).mean(0) > .5)
    thin = wide((m & bit(CRACK, MARKING)) > 0)
    lost = ((m & bit(KNOT, POCKET, HOLE, PITH, STAIN)) > 0)
    lost = ((m & bit(WOOD)) == 0) | (lost & ((m & bit(KNOT, POCKET, HOLE, PITH)) > 0))
    bad = np.where(lost.mean(0) > .4, 2, np.where(thin, 1, 0)).astype(np.uint8)
    b = cam.mm(t["rings"]["boundaries"])
    bound = np.sort(np.array([s[np.argmin(((x - q) ** 2).sum(1))] * STRIP_PER_MM for q in b]))
    gap = np.diff(bound) / STRIP_PER_MM * t["scale"]["pixelsPerMm"]
    for k in np.nonzero(gap < FINEST_PX)[0]:
        bad[max(0, int(bound[k]) - 2):int(bound[k + 1]) + 3] = 3
    return sample(im, g[..., 0], g[..., 1]).round().clip(0, 255).astype(np.uint8), bound, bad


def surface_of(t, im, bits, cam):
    o = cam.mm(t["outline"])
    lo, hi = o.min(0) - MARGIN, o.max(0) + MARGIN
    if t["view"] == "face":
        mid = (lo[0] + hi[0]) / 2
        lo[0], hi[0] = max(lo[0], mid - LONGEST / 2), min(hi[0], mid + LONGEST / 2)
    per_mm = END_PER_MM if t["view"] == "end" else PER_MM
    w, h = int((hi[0] - lo[0]) * per_mm), int((hi[1] - lo[1]) * per_mm)
    if not (40 < w < 2700 and 40 < h < 1800):
        return None
    d = dict(dtype=torch.float64, device=DEVICE)
    x = (lo[0] + (torch.arange(w * 2, **d) + .5) / 2 / per_mm)[None].expand(h * 2, -1)
    y = (lo[1] + (torch.arange(h * 2, **d) + .5) / 2 / per_mm)[:, None].expand(-1, w * 2)
    px, py = cam.torch_px(x, y)
    g = torch.stack([2 * px / (cam.w - 1) - 1, 2 * py / (cam.h - 1) - 1], -1).float()[None]
    t = torch.from_numpy(im).to(DEVICE).permute(2, 0, 1)[None].float()
    rgb = F.avg_pool2d(F.grid_sample(t, g, mode="bilinear", padding_mode="border", align_corners=True), 2)[0].permute(1, 2, 0)
    rgb = rgb.round().clamp(0, 255).byte().cpu().numpy()
    i, j = py.round().long(), px.round().long()
    inside = (i >= 0) & (j >= 0) & (i < cam.h) & (j < cam.w)
    m = torch.from_numpy(bits).to(DEVICE)[i.clamp(0, cam.h - 1), j.clamp(0, cam.w - 1)]
    m = torch.where(inside, m, torch.full_like(m, UNASKED)).reshape(h, 2, w, 2)
    m = (m[:, 0, :, 0] | m[:, 1, :, 0] | m[:, 0, :, 1] | m[:, 1, :, 1]).cpu().numpy()
    # Where a blemish lies, the harmless mark beneath it is not asked for: the two shall be told apart.
    blemish = (m & bit(KNOT, CRACK, POCKET, HOLE, DENT)) > 0
    m = np.where(blemish, m & ~bit(MARKING, MACHINING, DIRT), m)
    return rgb, faint(rgb, m).astype(np.uint32)


def faint(rgb, m):
    """Blemishes that the photo hardly shows are not asked for: the eye could not tell them either. A piece counts as shown where it
    differs from what lies round it by LEAST_LEVELS and by half of the surroundings' own spread."""
    grey = rgb.astype(np.float32).mean(2)
    for c in (CRACK, DENT, STAIN, POCKET, KNOT):
        on = ((m >> c) & 1).astype(bool)
        if not on.any():
            continue
        ys, xs = np.nonzero(on)
        r = (slice(max(0, ys.min() - 9), ys.max() + 10), slice(max(0, xs.min() - 9), xs.max() + 10))
        lab, n = components(dilate(on[r], 2))
        for k in range(1, n + 1):
            ys, xs = np.nonzero(lab == k)
            q = (slice(max(0, ys.min() - 7), ys.max() + 8), slice(max(0, xs.min() - 7), xs.max() + 8))
            inner = (lab[q] == k) & on[r][q]
            ring = dilate(inner, 6) & ~dilate(inner, 2) & ((m[r][q] >> WOOD) & 1).astype(bool)
            if not inner.any() or not ring.any():
                continue
            differs = abs(grey[r][q][inner].mean() - grey[r][q][ring].mean())
            shade = grey[r][q][inner].std() if c in (DENT, KNOT) else 0
            if max(differs, shade * .7) < LEAST_LEVELS or (c == CRACK and differs < .5 * grey[r][q][ring].std()):
                m[r][q][dilate(inner, 3)] |= bit(c) << 16
    return m


def one(path):
    t = load_json(path)
    im = read_rgb(path[:-5] + ".jpg")
    h, w = im.shape[:2]
    bits = np.array(t["mask"]["combinations"], np.int32)[read_mask(path[:-5] + "-mask.png")]
    cam = Camera(t["scale"], w, h)
    out = {"variety": bool(t.get("variety")), "view": t["view"], "seed": t["seed"], "species": t["species"], "difficulty": t["conditions"]["difficulty"]}
    if t["view"] == "end" and t.get("rings") and len(t["rings"]["boundaries"]) > 2:
        out["strip"], out["bound"], out["bad"] = strip_of(t, im, bits, cam)
        out["pxPerRing"] = t["conditions"]["pxPerRing"]
    got = surface_of(t, im, bits, cam)
    if got is not None:
        out["surf"], out["bits"] = got
        out["pxPerMm"], out["blur"] = t["scale"]["pixelsPerMm"], t["conditions"]["blurSigmaPx"]
    return out


def part(job):
    k, files, folder = job
    torch.set_num_threads(1)
    items = []
    for f in files:
        try:
            items.append(one(f))
        except Exception as e:                               # a photo cut off while it was written
            print("left out", f, repr(e), flush=True)
    write(items, folder, k, 0)
    return len(items), sum("strip" in x for x in items), sum("surf" in x for x in items)


def write(items, folder, k, number):
    """Surfaces to train on, strips, and surfaces held back, each in files of their own: who reads one kind need not read all."""
    without = lambda x, *keys: {a: b for a, b in x.items() if a not in keys}
    kinds = {"part": [without(x, "strip") for x in items if "surf" in x and not held_back(x)], "back": [x for x in items if "surf" in x and held_back(x)],
             "strips": [without(x, "surf", "bits") for x in items if "strip" in x]}
    for name, part_of in kinds.items():
        at = os.path.join(folder, "%s-%03d-%03d.pkl" % (name, k, number))
        with open(at + ".new", "wb") as f:
            pickle.dump(part_of, f, protocol=4)
        os.rename(at + ".new", at)


def watch(photos, folder, k, n):
    """Takes up photos while others are still being drawn, until a file named done lies beside them; this process takes one in n."""
    import time
    seen, items, number = set(), [], 0
    while True:
        last = os.path.exists(photos + "/done")
        fresh = [f for f in glob.glob(photos + "/**/*.json", recursive=True) if f not in seen and int(os.path.basename(f)[5:-5]) // 2 % n == k]
        for f in fresh:
            try:
                load_json(f)
            except ValueError:
                if not last:
                    continue                                  # still being written
            seen.add(f)
            try:
                items.append(one(f))
            except Exception as e:
                print("left out", f, repr(e), flush=True)
            if len(items) >= 60:
                write(items, folder, k, number)
                items, number = [], number + 1
        if last and not fresh:
            write(items, folder, k, number)
            print(len(seen), "photos", flush=True)
            return
        if not fresh:
            time.sleep(.5)


if __name__ == "__main__":
    torch.set_num_threads(1)
    photos, folder = sys.argv[1:3]
    n = int(sys.argv[3]) if len(sys.argv) > 3 else os.cpu_count()
    os.makedirs(folder, exist_ok=True)
    files = sorted(glob.glob(photos + "/*.json"))
    if len(sys.argv) > 4:                                    # beside the drawing
        watch(photos, folder, int(sys.argv[4]), n)
    else:
        with Pool(n) as pool:
            got = pool.map(part, [(k, files[k::n], folder) for k in range(n)], chunksize=1)
        print("%d photos, %d strips, %d surfaces" % tuple(np.array(got).sum(0)))
