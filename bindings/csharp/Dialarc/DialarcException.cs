// SPDX-License-Identifier: GPL-3.0-or-later
using System;
using System.Runtime.InteropServices;

namespace Dialarc
{
    /// <summary>A call of the library that could not be done: why, as a status and as a
    /// sentence.</summary>
    public class DialarcException : Exception
    {
        internal DialarcException(int status, string message) : base(message)
        {
            Status = (Status)status;
        }

        /// <summary>The status of the library, such as ERR_LIFT.</summary>
        public Status Status { get; }
    }

    /// <summary>Takes errors of the library across.</summary>
    internal class Problem
    {
        private delegate void Setter(int status, string message);

        private static readonly Setter setter = (status, message) =>
            ApiPINVOKE.SWIGPendingException.Set(new DialarcException(status, message));

        [DllImport("dialarc_csharp", EntryPoint = "dialarc_register_problem")]
        private static extern void Register(Setter setter);

        internal Problem()
        {
            Register(setter);
        }
    }
}
