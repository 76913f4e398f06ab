"""How a photo can look, on the GPU: blur or sharpening, exposure, white balance, uneven light, noise, JPEG blocks."""
import math, random
import torch
import torch.nn.functional as F


def u(x, *shape):
    return torch.rand(*shape, device=x.device)


def separable(img, k):
    """img B x C x H x W, one kernel of odd length a sample."""
    B, C, H, W = img.shape
    n = k.shape[1] // 2
    g = img.reshape(1, B * C, H, W)
    k = k.repeat_interleave(C, 0)
    g = F.conv2d(F.pad(g, (n, n, 0, 0), "replicate"), k[:, None, None, :], groups=B * C)
    g = F.conv2d(F.pad(g, (0, 0, n, n), "replicate"), k[:, None, :, None], groups=B * C)
    return g.reshape(B, C, H, W)


def focus(img, share=.55, most=1.7):
    """Blur, or what a camera's sharpening does."""
    B = img.shape[0]
    s = .3 + (most - .3) * u(img, B)[:, None] ** 1.5
    k = torch.exp(-.5 * (torch.arange(-4, 5, device=img.device)[None] / s) ** 2)
    soft = separable(img, k / k.sum(1, keepdim=True))
    which, more = u(img, B, 1, 1, 1), 1.2 * u(img, B, 1, 1, 1)
    return torch.where(which < share, soft, torch.where(which < share + .25, img + more * (img - soft), img))


def light(img, noise=8., field=14.):
    B, _, H, W = img.shape
    img = 255 * (img.clamp(0, 255) / 255) ** torch.exp((u(img, B, 1, 1, 1) - .45) * 1.1)
    grey = img.mean(1, keepdim=True)
    img = grey + (img - grey) * torch.where(u(img, B, 1, 1, 1) < .15, torch.zeros(1, device=img.device), .5 + u(img, B, 1, 1, 1))
    cast = 1 + (u(img, B, 3, 1, 1) - .5) * .3 * u(img, B, 1, 1, 1)
    uneven = F.interpolate(torch.randn(B, 1, 4, 4, device=img.device), size=(H, W), mode="bicubic", align_corners=False)
    img = img * (.6 + .65 * u(img, B, 1, 1, 1)) * cast + uneven * (field * u(img, B, 1, 1, 1) ** 2)
    coarse = F.interpolate(torch.randn(B, 3, H // 2, W // 2, device=img.device), size=(H, W), mode="bilinear", align_corners=False)
    amount = noise * u(img, B, 1, 1, 1) ** 2
    img = img + amount * torch.where(u(img, B, 1, 1, 1) < .5, torch.randn_like(img), coarse)
    return img.clamp(0, 255)


def surround(img, wood, share=.35):
    """Another bench: what lies round the wood must not change what is seen on it. wood: B x 1 x H x W, 1 where wood lies; its edge is known to some pixels only."""
    B = img.shape[0]
    r = random.choice((2, 4, 8, 16))
    off = F.max_pool2d(wood, 2 * r + 1, 1, r) < .5
    bench = 255 * u(img, B, 1, 1, 1) + 60 * (u(img, B, 3, 1, 1) - .5) + 15 * u(img, B, 1, 1, 1) * torch.randn_like(img)
    return torch.where(off & (u(img, B, 1, 1, 1) < share), bench.clamp(0, 255), img)


def _dct(device):
    n = torch.arange(8, device=device).float()
    d = torch.cos(math.pi * (2 * n[None] + 1) * n[:, None] / 16) * .5
    d[0] *= math.sqrt(.5)
    return d


def jpeg(img, share=.4):
    """Quantised 8 x 8 cosine blocks (ITU-T T.81 annex A), one rising table for all channels: close to what a file of middling quality keeps."""
    B, C, H, W = img.shape
    d = _dct(img.device)
    n = torch.arange(8, device=img.device).float()
    table = (4 + 2.2 * (n[:, None] + n[None]))[None, None, None, None] * (.3 + 3 * u(img, B, 1, 1, 1, 1, 1) ** 2)
    x = (img - 128).reshape(B, C, H // 8, 8, W // 8, 8).permute(0, 1, 2, 4, 3, 5)
    x = torch.einsum("ij,bchwjk,lk->bchwil", d, x, d)
    x = torch.round(x / table) * table
    x = torch.einsum("ji,bchwjk,kl->bchwil", d, x, d).permute(0, 1, 2, 4, 3, 5).reshape(B, C, H, W) + 128
    return torch.where(u(img, B, 1, 1, 1) < share, x.clamp(0, 255), img)
