#!/usr/bin/env python3
"""Figures of both nets on what training did not see, and the tables of regions that the product's decision is calibrated on.

Writes OUT/surface-regions.csv (every region of a blemish class above 0.2, with what truly lies there), OUT/surface-truths.csv (every
true blemish, with the strongest chance found on it), OUT/rings.csv and prints tables, drawn and real apart.
usage: evaluate.py PARTS MODELS OUT [--faces FOLDER] [--most 400] [--splits choose,test]
"""
import argparse, csv, os, time
from multiprocessing import Pool
from common import *
from faces import KIND, label, read_faces, wood_mask
from nets import RingNet, SurfaceNet
import train_rings

LEAST = .2                # a region is where a class is likelier than this
FIGURES = (.3, .5, .7, .8, .9, .95, .98)


# ---------------------------------------------------------------- surfaces
def infer(net, img, dev):
    h, w = img.shape[:2]
    t = torch.from_numpy(np.ascontiguousarray(img)).to(dev).float().permute(2, 0, 1)[None]
    t = F.pad(t, (0, -w % 16, 0, -h % 16), "replicate")
    with torch.no_grad():
        p = torch.sigmoid(net((t - 128) / 64))[0]
    return p[:, :(h + 1) // 2, :(w + 1) // 2].float().cpu().numpy()


def half(mask):
    h, w = mask.shape
    m = np.pad(mask, ((0, h % 2), (0, w % 2)))
    return m[0::2, 0::2] | m[1::2, 0::2] | m[0::2, 1::2] | m[1::2, 1::2]


def regions(p, wood, per_mm):
    """Connected parts of each blemish class above LEAST inside the wood -> dicts."""
    out = []
    for c in BLEMISHES:
        on = (p[c] > LEAST) & wood
        if not on.any():
            continue
        lab, n = components(on)
        for k in range(1, n + 1):
            ys, xs = np.nonzero(lab == k) if n < 4 else np.nonzero(lab == k)
            if len(ys) < 2:
                continue
            v = p[:, ys, xs]
            out.append(dict(c=c, max=float(v[c].max()), mean=float(v[c].mean()), area=len(ys) * 4 / per_mm ** 2,
                            long=float(np.hypot(np.ptp(ys) + 1, np.ptp(xs) + 1)) * 2 / per_mm, x=float(xs.mean() * 2), y=float(ys.mean() * 2),
                            harmless=float(np.maximum.reduce([v[MARKING], v[MACHINING], v[DIRT], v[GLARE], v[STREAK]]).mean()),
                            marking=float(v[MARKING].mean()), machining=float(v[MACHINING].mean()), dirt=float(v[DIRT].mean()), glare=float(v[GLARE].mean()),
                            box=(xs.min(), ys.min(), xs.max(), ys.max()), at=(ys, xs)))
    return out


def truths_of(bits, img, per_mm):
    """Connected true blemishes with size and contrast against what lies round them."""
    grey, out = img.astype(np.float32).mean(2), []
    for c in BLEMISHES:
        on = ((bits >> c) & 1).astype(bool)
        if not on.any():
            continue
        lab, n = components(dilate(on, 2))                    # pieces of one crack are one
        for k in range(1, n + 1):
            near = lab == k
            ys, xs = np.nonzero(near)
            r = (slice(max(0, ys.min() - 8), ys.max() + 9), slice(max(0, xs.min() - 8), xs.max() + 9))
            inner = near[r] & on[r]
            ring = dilate(inner, 6) & ~dilate(inner, 2) & ((bits[r] >> WOOD) & 1).astype(bool)
            if not inner.any() or ((bits[r][inner] >> (c + 16)) & 1).mean() > .5:
                continue
            contrast = abs(float(grey[r][inner].mean() - grey[r][ring].mean())) if ring.any() else 0
            out.append(dict(c=c, area=inner.sum() / per_mm ** 2, long=float(np.hypot(np.ptp(ys) + 1, np.ptp(xs) + 1)) / per_mm, contrast=contrast,
                            mask=(r, dilate(inner, 4)), x=float(xs.mean()), y=float(ys.mean())))
    return out


def judge(job):
    torch.set_num_threads(1)
    name, img, bits, p, per_mm = job
    p = p.astype(np.float32)
    wood = ((bits >> WOOD) & 1).astype(bool)
    found = regions(p, half(erode(wood, 3))[:p.shape[1], :p.shape[2]], per_mm)
    truths = truths_of(bits, img, per_mm)
    say = np.zeros(bits.shape, np.uint16)                     # which blemishes are near
    for c in BLEMISHES:
        on = ((bits >> c) & 1).astype(bool)
        if on.any():
            say |= dilate(on, 4).astype(np.uint16) << c
    say = sum(half((say >> c & 1).astype(bool)).astype(np.uint16) << c for c in BLEMISHES)
    unasked = half(((bits >> 16) & bit(KNOT)) > 0)
    rows = []
    for f in found:
        ys, xs = f["at"]
        near = int(np.bitwise_or.reduce(say[ys, xs]))
        f["truth"] = [c for c in BLEMISHES if near >> c & 1]
        f["unasked"] = bool(unasked[ys, xs].mean() > .5)
    for t in truths:
        r, near = t.pop("mask")
        full = np.zeros(bits.shape, bool)
        full[r] = near
        full = half(full)
        t["same"], t["any"] = 0., 0.
        for f in found:
            ys, xs = f["at"]
            if full[ys, xs].any():
                t["any"] = max(t["any"], f["max"])
                if f["c"] == t["c"]:
                    t["same"] = max(t["same"], f["max"])
    for f in found:
        f.pop("at")
    return name, found, truths


def surface_tables(out, results, tag, writer, truth_writer):
    for name, found, truths in results:
        for f in found:
            writer.writerow([tag, name, CLASSES[f["c"]], *("%.4f" % f[k] for k in ("max", "mean", "area", "long", "x", "y", "marking", "machining", "dirt", "glare")),
                             "+".join(CLASSES[c] for c in f["truth"]), int(f["unasked"])])
        for t in truths:
            truth_writer.writerow([tag, name, CLASSES[t["c"]], *("%.4f" % t[k] for k in ("area", "long", "contrast", "x", "y", "same", "any"))])
    for thr in FIGURES:
        wrong, crack, clear, clear_ok = 0, 0, 0, 0
        for _, found, truths in results:
            bad = [f for f in found if f["max"] >= thr and not f["truth"] and not f["unasked"] and f["harmless"] < f["mean"]]
            wrong, crack = wrong + len(bad), crack + sum(f["c"] == CRACK for f in bad)
            if not truths:
                clear, clear_ok = clear + 1, clear_ok + (not bad)
        seen = [t for _, _, ts in results for t in ts if t["area"] >= .4 and t["contrast"] >= 6]
        hit = {}
        for t in seen:
            k = CLASSES[t["c"]]
            a = hit.setdefault(k, [0, 0, 0])
            a[0] += t["any"] >= thr
            a[1] += t["same"] >= thr
            a[2] += 1
        out("%s thr %.2f: false marks a surface %.2f (cracks %.3f), clear without a mark %d/%d; found as any (as itself) of resolved: %s"
            % (tag, thr, wrong / len(results), crack / len(results), clear_ok, clear, ", ".join("%s %d(%d)/%d" % (k, *v) for k, v in sorted(hit.items()))))


def reliability(out, results, tag):
    """Of regions whose strongest pixel says p, how many are one: ten steps."""
    fs = [f for _, found, _ in results for f in found if not f["unasked"]]
    for lo in np.arange(.2, 1, .1):
        part = [f for f in fs if lo <= f["max"] < lo + .1 + (lo > .85)]
        if part:
            out("%s regions that say %.1f to %.1f: %d, blemish of any kind %.2f, of that kind %.2f" % (tag, lo, lo + .1, len(part), np.mean([bool(f["truth"]) for f in part]), np.mean([f["c"] in f["truth"] for f in part])))


# ---------------------------------------------------------------- rings
def peaks(p, thr, least):
    i = np.where((p[1:-1] >= p[:-2]) & (p[1:-1] > p[2:]) & (p[1:-1] > thr))[0] + 1
    keep = []
    for k in sorted(i, key=lambda k: -p[k]):
        if all(abs(k - j) >= least for j in keep):
            keep.append(k)
    out = []
    for k in sorted(keep):
        a, b, c = p[k - 1], p[k], p[k + 1]
        d = a - 2 * b + c
        out.append(k + (0 if d == 0 else float(np.clip(.5 * (a - c) / d, -.5, .5))))
    return np.array(out)


def read_strip(net, strip, dev, scale=1.):
    t = torch.from_numpy(np.ascontiguousarray(strip)).to(dev).float().permute(2, 0, 1)[None]
    if scale < 1:
        t = F.interpolate(t, size=(ROWS, int(t.shape[-1] * scale)), mode="bilinear", antialias=True, align_corners=False)
    with torch.no_grad():
        return torch.sigmoid(net(train_rings.norm(t)))[0].float().cpu().numpy()


def ring_tables(out, net, items, dev, writer):
    for thr in (.3, .4, .5, .6):
        for two in ((False, True) if thr == .4 else (False,)):
            rows = []
            for x in items:
                b, p = np.asarray(x["bound"]), read_strip(net, x["strip"], dev)
                k, scale = peaks(p[0], thr, 2.5), 1.
                bad = p[1]
                if two and len(k) > 2 and (scale := float(np.clip(14 / np.median(np.diff(k)), .3, 1))) < .9:
                    q = read_strip(net, x["strip"], dev, scale)
                    k = peaks(q[0], thr, 2.5) / scale
                k = np.array([v for v in k if bad[min(len(bad) - 1, int(v))] < .7])
                asked = [v for v in b if x["bad"][min(len(x["bad"]) - 1, int(v))] < 2]
                k = k[[x["bad"][min(len(x["bad"]) - 1, int(v))] < 2 for v in k]] if len(k) else k
                used = set()
                for v in asked:
                    j = [i for i in range(len(k)) if i not in used and abs(k[i] - v) <= .15 * STRIP_PER_MM]
                    if j:
                        used.add(min(j, key=lambda i: abs(k[i] - v)))
                err = 100.
                if len(k) > 2 and len(asked) > 2:
                    err = abs((len(k) - 1) / (k[-1] - k[0]) * (asked[-1] - asked[0]) / (len(asked) - 1) - 1) * 100
                rows.append((x["seed"], x["species"], len(asked), len(k), len(used), err, (x["bad"] == 3).any(), bool(x.get("variety"))))
            for name, part in (("plain", [r for r in rows if not r[7]]), ("varied", [r for r in rows if r[7]]), ("varied, resolved", [r for r in rows if r[7] and not r[6]]), ("ring-porous", [r for r in rows if "ash" in r[1]])):
                if part:
                    n, m, tp = (sum(r[i] for r in part) for i in (2, 3, 4))
                    e = [r[5] for r in part]
                    out("rings thr %.1f %s passes, %s (%d strips): F1 %.4f, missed %.2f %%, extra %.2f %%; per inch median %.2f %% p90 %.2f %% max %.1f %%, within 1 %% %d, over 5 %% %d"
                        % (thr, "two" if two else "one", name, len(part), 2 * tp / (n + m), 100 - 100 * tp / n, 100 - 100 * tp / max(m, 1), np.median(e), np.percentile(e, 90), max(e), sum(v <= 1 for v in e), sum(v > 5 for v in e)))
            if thr == .4 and not two:
                writer.writerows([[r[0], r[1], r[2], r[3], r[4], "%.4f" % r[5]] for r in rows])


def main():
    ap = argparse.ArgumentParser()
    ap.add_argument("parts"), ap.add_argument("models"), ap.add_argument("out"), ap.add_argument("--faces")
    ap.add_argument("--most", type=int, default=400), ap.add_argument("--splits", default="choose,test")
    a = ap.parse_args()
    t0, dev = time.time(), "cuda" if torch.cuda.is_available() else "cpu"
    text = open(a.out + "/figures.txt", "a")

    def out(*x):
        print(*x, flush=True)
        print(*x, file=text, flush=True)
    back = read_items(a.parts, "back")
    pool = Pool(min(14, os.cpu_count()))
    if os.path.exists(a.models + "/surface.pt"):
        net = SurfaceNet()
        net.load_state_dict(torch.load(a.models + "/surface.pt", map_location="cpu"))
        net = net.to(dev).eval()
        with open(a.out + "/surface-regions.csv", "w", newline="") as f, open(a.out + "/surface-truths.csv", "w", newline="") as g:
            writer, truth_writer = csv.writer(f), csv.writer(g)
            writer.writerow("source,photo,kind,max,mean,areaMm2,longMm,x,y,marking,machining,dirt,glare,truth,unasked".split(","))
            truth_writer.writerow("source,photo,kind,areaMm2,longMm,contrast,x,y,same,any".split(","))
            for view, varied in (("face", False), ("face", True), ("end", False), ("end", True)):
                part = [x for x in back if x["view"] == view and bool(x.get("variety")) == varied][:a.most]
                jobs = [(str(x["seed"]), x["surf"], x["bits"], infer(net, x["surf"], dev).astype(np.float16), END_PER_MM if view == "end" else PER_MM) for x in part]
                res = pool.map(judge, jobs, chunksize=4)
                if res:
                    tag = "drawn " + view + (" varied" if varied else "")
                    surface_tables(out, res, tag, writer, truth_writer)
                    reliability(out, res, tag)
            faces = read_faces(a.faces) if a.faces else []
            for split in a.splits.split(","):
                part = [f for f in faces if f["split"] == split]
                jobs = [(f["name"], f["img"], label(f["img"], f["marks"])[0], infer(net, f["img"], dev).astype(np.float16), PER_MM) for f in part]
                res = pool.map(judge, jobs, chunksize=2)
                if res:
                    surface_tables(out, res, "real " + split, writer, truth_writer)
                    reliability(out, res, "real " + split)
        out("surfaces done at %.0f s" % (time.time() - t0))
    if os.path.exists(a.models + "/rings.pt"):
        net = RingNet()
        net.load_state_dict(torch.load(a.models + "/rings.pt", map_location="cpu"))
        net = net.to(dev).eval()
        strips = [x for x in read_items(a.parts, "strips") if held_back(x) and len(x["bound"]) > 3]
        if strips:
            with open(a.out + "/rings.csv", "w", newline="") as f:
                writer = csv.writer(f)
                writer.writerow("seed,species,boundaries,read,right,perInchErrorPercent".split(","))
                ring_tables(out, net, strips, dev, writer)
    out("done at %.0f s" % (time.time() - t0))


if __name__ == "__main__":
    main()
