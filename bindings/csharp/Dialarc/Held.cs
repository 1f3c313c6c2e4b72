// SPDX-License-Identifier: GPL-3.0-or-later
using System;
using System.Runtime.ExceptionServices;
using System.Runtime.InteropServices;

namespace Dialarc
{
    /// <summary>An array that stays in its place while C works with it.</summary>
    internal class Held : IDisposable
    {
        private readonly GCHandle array, place;

        internal Held(Array given)
        {
            if (given == null)
                return;
            array = GCHandle.Alloc(given, GCHandleType.Pinned);
            place = GCHandle.Alloc(
                new[] { (IntPtr)given.Length, array.AddrOfPinnedObject() },
                GCHandleType.Pinned);
        }

        internal IntPtr Address =>
            place.IsAllocated ? place.AddrOfPinnedObject() : IntPtr.Zero;

        public void Dispose()
        {
            if (place.IsAllocated)
                place.Free();
            if (array.IsAllocated)
                array.Free();
        }

        [DllImport("dialarc_csharp", EntryPoint = "dialarc_free_block")]
        private static extern void FreeBlock(IntPtr block);

        /// <summary>The arrays of a block that C has made, which is freed.</summary>
        internal static double[][] Take(IntPtr block)
        {
            if (block == IntPtr.Zero)
                throw new OutOfMemoryException();
            var size = new double[1];
            Marshal.Copy(block, size, 0, 1);
            var all = new double[(int)size[0]][];
            long used = 1;
            for (int i = 0; i < all.Length; i++)
            {
                Marshal.Copy((IntPtr)((long)block + 8 * used), size, 0, 1);
                all[i] = new double[(int)size[0]];
                Marshal.Copy((IntPtr)((long)block + 8 * (used + 1)), all[i], 0,
                             all[i].Length);
                used += 1 + all[i].Length;
            }
            FreeBlock(block);
            return all;
        }

        internal static int[][] TakeWholes(IntPtr block) =>
            Array.ConvertAll(Take(block), one => Array.ConvertAll(one, x => (int)x));
    }

    /// <summary>A function that C calls; its exceptions wait until C is done.</summary>
    internal class Called
    {
        internal delegate double Native(IntPtr input, IntPtr context);

        private readonly Native native;
        private Exception problem;

        internal Called(Func<double[], double> model)
        {
            native = (input, context) =>
            {
                try
                {
                    if (problem != null)
                        return double.PositiveInfinity;
                    var values = new double[(int)Marshal.ReadIntPtr(context)];
                    Marshal.Copy(input, values, 0, values.Length);
                    return model(values);
                }
                catch (Exception caught)
                {
                    problem = caught;
                    return double.PositiveInfinity;
                }
            };
        }

        internal Native Function => native;

        internal void Rethrow()
        {
            GC.KeepAlive(native);
            if (problem != null)
                ExceptionDispatchInfo.Capture(problem).Throw();
        }
    }
}
