using GrainVision.Grading.Findings;
using GrainVision.Grading.Quantities;
using GrainVision.Measuring.Scale;
using GrainVision.Measuring.Scale.Rule;
using OpenCvSharp;
namespace GrainVision.Measuring.Tests.Scale;
public class Stress {
 [Fact] public void Many() {
  var n=int.Parse(Environment.GetEnvironmentVariable("STRESS_N")??"0"); var first=int.Parse(Environment.GetEnvironmentVariable("STRESS_FIRST")??"0");
  for (var seed=first; seed<first+n; seed++) {
   var r=new Random(seed);
   var edges=new (DrawnEdge E,RuleUnit U,string Name)[]{(DrawnEdge.Millimetres,RuleUnit.Mm,"mm"),(DrawnEdge.Millimetres,RuleUnit.Mm,"mm"),(DrawnEdge.HalfMillimetres,RuleUnit.Mm,"half"),(DrawnEdge.Sixteenths,RuleUnit.Inch,"1/16"),(DrawnEdge.ThirtySeconds,RuleUnit.Inch,"1/32"),(DrawnEdge.Eighths,RuleUnit.Inch,"1/8")};
   var e=edges[r.Next(edges.Length)]; var back=r.Next(3)==0? edges[r.Next(edges.Length)].E:null;
   double pitch=Math.Exp(Math.Log(3)+r.NextDouble()*Math.Log(60/3.0));
   double turn=r.NextDouble()*360, tx=(r.NextDouble()-.5)*14, ty=(r.NextDouble()-.5)*14;
   double blur=0.4+r.NextDouble()*1.1, noise=1+r.NextDouble()*4, glare=r.Next(2)==0?0:r.NextDouble()*80;
   int W=1600,H=1200; double len=Math.Min(150, Math.Max(30, 1300/pitch)); 
   if (e.E.StepMm>1.2) len=Math.Max(len,60);
   byte metal=(byte)(150+r.Next(90)), ink=(byte)(20+r.Next(50)); double width=18+r.NextDouble()*12;
   var at=new PointPx(W*(0.4+0.2*r.NextDouble()),H*(0.35+0.3*r.NextDouble()));
   var map=CameraView.Map(new PointPx(len/2,width/2),at,pitch,turn,tx,ty,1300);
   using var d=DrawnPhoto.OnWood(W,H,seed); d.Paint(map,c=>RuleDrawing.Draw(c,len,width,e.E,back,metal,ink));
   using var photo=d.Take(blur,noise,seed,glare);
   if (Environment.GetEnvironmentVariable("STRESS_SAVE") is {} dir) Cv2.ImWrite($"{dir}/s{seed}.png",photo.Bgr);
   if (Environment.GetEnvironmentVariable("STRESS_TRACE")!=null) GrainVision.Measuring.Scale.Rule.RuleReading.Trace=Console.WriteLine;
   var sw=System.Diagnostics.Stopwatch.StartNew();
   var o=ScaleFinder.Find(photo,new RuleScale(),default); var ms=sw.ElapsedMilliseconds;
   string res;
   if (o.Is(out var s,out var refusal)) {
     // truth: along-rule scale at the point of the rule's edge nearest the middle
     var mid=new PointPx((W-1)/2.0,(H-1)/2.0);
     var ma=s.Finding.Marks![0]; var mb=s.Finding.Marks[^1]; var ax=(mb-ma)*(1/mb.DistanceTo(ma)); var tt=Math.Clamp((mid-ma).X*ax.X+(mid-ma).Y*ax.Y,0,mb.DistanceTo(ma));
     var m0=map.Inverse().Map(ma+ax*tt); var bx=m0.X;
     var truth=map.Map(new PointPx(bx+.5,m0.Y)).DistanceTo(map.Map(new PointPx(bx-.5,m0.Y)));
     var atMid=1/map.Inverse().MagnificationAt(mid);
     var p=s.Finding.PixelsPerMm;
     bool inn=atMid>=p.Low&&atMid<=p.High;
     res=$"{(s.Finding.Unit==e.U||back!=null?"ok":"WRONGUNIT")} err {100*(p.Value/truth-1):F3}% mid {100*(p.Value/atMid-1):F2}% u {100*p.StandardUncertainty/p.Value:F2}% loc {(truth>=p.Low&&truth<=p.High)} in {inn} unit {s.Finding.Unit} {s.Finding.UnitProbability:F3} {(Math.Abs(p.Value/truth-1)>.1?"WRONGSCALE":"")}";
   } else res="REFUSED "+refusal.Code;
   Console.WriteLine($"ST {seed} {e.Name}{(back!=null?"+":"")} pitch {pitch:F1} step {pitch*e.E.StepMm:F1} turn {turn:F0} blur {blur:F1} noise {noise:F1} glare {glare:F0} metal {metal} ink {ink} len {len:F0} -> {res}  {ms} ms");
  }
 }
 [Fact] public void Wood() {
  if (Environment.GetEnvironmentVariable("STRESS_WOOD")==null) return;
  foreach (var f in Environment.GetEnvironmentVariable("STRESS_WOOD")!.Split(':',StringSplitOptions.RemoveEmptyEntries)) {
   using var bmp=SkiaSharp.SKBitmap.Decode(f); using var b=bmp.Copy(SkiaSharp.SKColorType.Bgra8888);
   using var m=Mat.FromPixelData(b.Height,b.Width,MatType.CV_8UC4,b.GetPixels(),b.RowBytes); var bgr=new Mat(); Cv2.CvtColor(m,bgr,ColorConversionCodes.BGRA2BGR);
   using var photo=new GrainVision.Measuring.Intake.UprightPhoto(bgr,"",[]);
   using var g=new Mat(); Cv2.CvtColor(bgr,g,ColorConversionCodes.BGR2GRAY);
   var sw=System.Diagnostics.Stopwatch.StartNew(); var c=CardFinder.Find(g,default); var mc=sw.ElapsedMilliseconds; sw.Restart(); var o=RuleReader.Find(g,null,default); var ms=sw.ElapsedMilliseconds;
   Console.WriteLine($"ST {Path.GetFileName(f)} {b.Width}x{b.Height} rule {(o.Found is {} s? "FOUND "+s.Finding : o.Refusal!.Code)} card {c.Refusal?.Code??"FOUND"} {mc} ms rule {ms} ms");
  }
 }
}
