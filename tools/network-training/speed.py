#!/usr/bin/env python3
"""What the nets cost on one core through ONNX Runtime, and that the file says what the network says. usage: speed.py [MODELS]"""
import os, sys, tempfile, time
from common import *
from nets import RingNet, SurfaceNet, WithSigmoid, export


def milliseconds(path, name, x, times=5):
    import onnxruntime as ort
    o = ort.SessionOptions()
    o.intra_op_num_threads = o.inter_op_num_threads = 1
    s = ort.InferenceSession(path, o, providers=["CPUExecutionProvider"])
    s.run(None, {name: x})
    t = []
    for _ in range(times):
        a = time.perf_counter()
        y = s.run(None, {name: x})[0]
        t.append(time.perf_counter() - a)
    return sorted(t)[len(t) // 2] * 1000, y


if __name__ == "__main__":
    torch.set_num_threads(1)
    x, s = np.random.randn(1, 3, 1024, 1024).astype(np.float32), np.random.randn(1, 3, ROWS, 1744).astype(np.float32)
    if len(sys.argv) > 1:
        for net, pt, onnx, name, v in ((SurfaceNet(), "surface.pt", "surface.onnx", "surface", x), (RingNet(), "rings.pt", "rings.onnx", "strip", s)):
            if os.path.exists(f"{sys.argv[1]}/{pt}"):
                net.load_state_dict(torch.load(f"{sys.argv[1]}/{pt}", map_location="cpu"))
                ms, y = milliseconds(f"{sys.argv[1]}/{onnx}", name, v)
                with torch.no_grad():
                    z = WithSigmoid(net.eval())(torch.from_numpy(v)).numpy()
                print("%s: %.1f ms, greatest difference to the network %.2g" % (onnx, ms, np.abs(y - z).max()), flush=True)
    else:
        folder = tempfile.mkdtemp()
        for c, down, up in (((16, 32, 64, 80), ("", "w", "d", "D"), ("w", "w", "1")), ((16, 32, 64, 96), ("", "w", "d", "DE"), ("w", "w", "1")),
                            ((16, 32, 64, 96), ("", "w", "d", "D"), ("w", "w", "1")), ((16, 32, 64, 96), ("", "w", "d", "DE"), ("", "w", "1")), ((16, 48, 64, 96), ("", "w", "d", "DE"), ("w", "w", "1"))):
            export(SurfaceNet(c, down, up), torch.zeros(1, 3, 64, 64), folder + "/s.onnx", "surface", "classes", {2: "h", 3: "w"}, {2: "h2", 3: "w2"})
            print("surface", c, down, up, "%.1f ms a megapixel" % milliseconds(folder + "/s.onnx", "surface", x)[0], flush=True)
        for c, d, dil in (((16, 32, 64), 96, (1, 2, 4, 8, 16, 32, 1, 2, 4, 1)), ((16, 32, 48), 64, (1, 2, 4, 8, 16, 32, 1, 2, 4, 1)), ((16, 32, 64), 128, (1, 2, 4, 8, 16, 32, 1, 2, 4, 1))):
            export(RingNet(c, d, dil), torch.zeros(1, 3, ROWS, 64), folder + "/r.onnx", "strip", "boundary", {3: "n"}, {2: "n"})
            print("rings", c, d, dil, "%.1f ms for 1744 columns" % milliseconds(folder + "/r.onnx", "strip", s)[0], flush=True)
