"""Published frost dates, typed in from the publications named in each row, for the checks.

A row: station, latitude, longitude, height (m), years, threshold (°C), whether the readings are whole degrees
Fahrenheit, last dates (10, 50, 90 %) and first dates (10, 50, 90 %) as MM-DD, source id. A 10 % last date is the late one.
Where only a mean date is published it stands in the 50 % place.
"""

from __future__ import annotations

from typing import NamedTuple

Dates = tuple[str | None, str | None, str | None]


class Published(NamedTuple):
    """One station's published dates at one threshold."""

    station: str
    lat: float
    lon: float
    height_m: float | None
    years: str
    threshold_c: float
    fahrenheit: bool
    last: Dates
    first: Dates
    source: str

    @property
    def modern(self) -> bool:
        """Tell whether the years overlap those of the normals by twenty or more."""
        return self.years in ("1981-2010", "1991-2020")


TABLE = [
    Published("Burlington International Airport", 44.4683, -73.15, 100.6, "1981-2010", 0.0, True,
              (None, "05-04", "04-23"), (None, "10-08", "10-20"), "noaa-normals-1981-2010-freeze"),
    Published("Caribou", 46.8706, -68.0172, 190.2, "1981-2010", 0.0, True,
              (None, "05-12", "04-30"), (None, "09-26", "10-08"), "noaa-normals-1981-2010-freeze"),
    Published("Albany Airport", 42.7431, -73.8092, 95.1, "1981-2010", 0.0, True,
              (None, "04-28", "04-16"), (None, "10-10", "10-23"), "noaa-normals-1981-2010-freeze"),
    Published("Buffalo", 42.9486, -78.7369, 211.2, "1981-2010", 0.0, True,
              (None, "04-24", "04-10"), (None, "10-22", "11-05"), "noaa-normals-1981-2010-freeze"),
    Published("Philadelphia International Airport", 39.8683, -75.2311, 3.0, "1981-2010", 0.0, True,
              (None, "04-02", "03-20"), (None, "11-10", "11-25"), "noaa-normals-1981-2010-freeze"),
    Published("Richmond International Airport", 37.505, -77.3203, 50.0, "1981-2010", 0.0, True,
              (None, "04-04", "03-20"), (None, "11-04", "11-20"), "noaa-normals-1981-2010-freeze"),
    Published("Asheville Regional Airport", 35.4319, -82.5375, 645.3, "1981-2010", 0.0, True,
              (None, "04-18", "04-01"), (None, "10-22", "11-05"), "noaa-normals-1981-2010-freeze"),
    Published("Atlanta Hartsfield International Airport", 33.63, -84.4417, 307.8, "1981-2010", 0.0, True,
              (None, "03-20", "02-27"), (None, "11-21", "12-10"), "noaa-normals-1981-2010-freeze"),
    Published("Birmingham Airport", 33.5656, -86.745, 187.5, "1981-2010", 0.0, True,
              (None, "03-27", "03-05"), (None, "11-12", "12-01"), "noaa-normals-1981-2010-freeze"),
    Published("Nashville International Airport", 36.1189, -86.6892, 182.9, "1981-2010", 0.0, True,
              (None, "04-06", "03-20"), (None, "11-02", "11-17"), "noaa-normals-1981-2010-freeze"),
    Published("Cleveland", 41.4131, -81.86, 232.6, "1981-2010", 0.0, True,
              (None, "04-22", "04-06"), (None, "10-31", "11-14"), "noaa-normals-1981-2010-freeze"),
    Published("Detroit Metro Airport", 42.2314, -83.3308, 192.3, "1981-2010", 0.0, True,
              (None, "04-20", "04-06"), (None, "10-24", "11-06"), "noaa-normals-1981-2010-freeze"),
    Published("Madison", 43.1406, -89.3453, 264.0, "1981-2010", 0.0, True,
              (None, "05-02", "04-18"), (None, "10-05", "10-18"), "noaa-normals-1981-2010-freeze"),
    Published("Minneapolis-St Paul", 44.8831, -93.2289, 265.8, "1981-2010", 0.0, True,
              (None, "04-25", "04-11"), (None, "10-10", "10-26"), "noaa-normals-1981-2010-freeze"),
    Published("Des Moines", 41.5339, -93.6531, 291.7, "1981-2010", 0.0, True,
              (None, "04-17", "04-04"), (None, "10-17", "10-30"), "noaa-normals-1981-2010-freeze"),
    Published("Kansas City International Airport", 39.2972, -94.7306, 306.3, "1981-2010", 0.0, True,
              (None, "04-12", "03-31"), (None, "10-23", "11-06"), "noaa-normals-1981-2010-freeze"),
    Published("Wichita", 37.6544, -97.4425, 406.9, "1981-2010", 0.0, True,
              (None, "04-10", "03-27"), (None, "10-29", "11-11"), "noaa-normals-1981-2010-freeze"),
    Published("Dallas-Fort Worth", 32.8978, -97.0189, 170.7, "1981-2010", 0.0, True,
              (None, "03-08", "02-17"), (None, "11-25", "12-11"), "noaa-normals-1981-2010-freeze"),
    Published("Bismarck", 46.7708, -100.7603, 505.4, "1981-2010", 0.0, True,
              (None, "05-12", "04-29"), (None, "09-24", "10-06"), "noaa-normals-1981-2010-freeze"),
    Published("Billings", 45.8069, -108.5422, 1091.5, "1981-2010", 0.0, True,
              (None, "05-05", "04-22"), (None, "10-04", "10-18"), "noaa-normals-1981-2010-freeze"),
    Published("Denver-Stapleton", 39.7633, -104.8694, 1611.2, "1981-2010", 0.0, True,
              (None, "05-03", "04-21"), (None, "10-06", "10-19"), "noaa-normals-1981-2010-freeze"),
    Published("Albuquerque", 35.0419, -106.6156, 1618.5, "1981-2010", 0.0, True,
              (None, "04-07", "03-21"), (None, "11-04", "11-16"), "noaa-normals-1981-2010-freeze"),
    Published("Salt Lake City", 40.7781, -111.9694, 1287.8, "1981-2010", 0.0, True,
              (None, "04-21", "03-31"), (None, "10-24", "11-06"), "noaa-normals-1981-2010-freeze"),
    Published("Boise", 43.5667, -116.2406, 857.7, "1981-2010", 0.0, True,
              (None, "04-30", "04-12"), (None, "10-15", "10-30"), "noaa-normals-1981-2010-freeze"),
    Published("Seattle-Tacoma", 47.4444, -122.3139, 112.8, "1981-2010", 0.0, True,
              (None, "03-08", "02-12"), (None, "11-21", "12-11"), "noaa-normals-1981-2010-freeze"),
    Published("Portland (Oregon)", 45.5908, -122.6003, 5.8, "1981-2010", 0.0, True,
              (None, "03-16", "02-22"), (None, "11-17", "12-08"), "noaa-normals-1981-2010-freeze"),
    Published("Eugene", 44.1278, -123.2206, 107.6, "1981-2010", 0.0, True,
              (None, "04-18", "03-20"), (None, "10-22", "11-12"), "noaa-normals-1981-2010-freeze"),
    Published("Anchorage", 61.1689, -150.0278, 36.6, "1981-2010", 0.0, True,
              (None, "05-07", "04-26"), (None, "09-27", "10-09"), "noaa-normals-1981-2010-freeze"),
    Published("Portland (Maine)", 43.6497, -70.3003, 13.7, "1981-2010", 0.0, True,
              (None, "05-01", "04-20"), (None, "10-10", "10-21"), "noaa-normals-1981-2010-freeze"),
    Published("Lexington (Kentucky)", 38.0408, -84.6058, 298.7, "1981-2010", 0.0, True,
              (None, "04-14", "03-29"), (None, "10-27", "11-09"), "noaa-normals-1981-2010-freeze"),
    Published("Knightville Dam", 42.2833, -72.8667, 192.0, "", 0.0, True,
              ("06-02", "05-19", "05-05"), ("09-11", "09-23", "10-05"), "umass-freeze"),
    Published("Knightville Dam", 42.2833, -72.8667, 192.0, "", -2.2, True,
              ("05-19", "05-05", "04-21"), ("09-20", "10-05", "10-21"), "umass-freeze"),
    Published("Middleton", 42.5947, -71.0208, 27.4, "", 0.0, True,
              ("05-17", "04-27", "04-06"), ("09-25", "10-11", "10-27"), "umass-freeze"),
    Published("Middleton", 42.5947, -71.0208, 27.4, "", -2.2, True,
              ("04-27", "04-11", "03-27"), ("10-05", "10-25", "11-15"), "umass-freeze"),
    Published("Nantucket Airport", 41.2531, -70.0608, 13.7, "", 0.0, True,
              ("05-02", "04-18", "04-03"), ("10-16", "11-03", "11-22"), "umass-freeze"),
    Published("Nantucket Airport", 41.2531, -70.0608, 13.7, "", -2.2, True,
              ("04-18", "04-04", "03-21"), ("10-29", "11-15", "12-03"), "umass-freeze"),
    Published("New Bedford", 41.6333, -70.9333, 21.3, "", 0.0, True,
              ("04-20", "04-06", "03-23"), ("10-22", "11-10", "11-28"), "umass-freeze"),
    Published("New Bedford", 41.6333, -70.9333, 21.3, "", -2.2, True,
              ("04-08", "03-26", "03-12"), ("11-06", "11-22", "12-09"), "umass-freeze"),
    Published("Georgetown (Research and Education Center)", 38.6333, -75.45, 13.7, "to 1970", 0.0, True,
              ("05-10", "04-25", "04-10"), ("10-02", "10-16", "10-30"), "udel-rec-frost"),
    Published("Georgetown (Research and Education Center)", 38.6333, -75.45, 13.7, "to 1970", -4.4, True,
              ("04-09", "03-27", "03-14"), ("11-01", "11-14", "11-27"), "udel-rec-frost"),
    Published("Toronto City", 43.665, -79.395, 113.0, "1991-2020", 0.0, False,
              ("05-15", "04-28", "04-09"), ("10-01", "10-19", "11-11"), "eccc-normals-toronto"),
    Published("Aberdeen", 42.9536, -112.8253, 1342.6, "1951-1980", 0.0, True,
              ("06-23", "06-02", None), ("08-31", "09-12", None), "ncdc-clim20-idaho"),
    Published("American Falls", 42.8572, -112.88, 1345.7, "1951-1980", 0.0, True,
              ("06-07", "05-16", None), ("09-09", "09-25", None), "ncdc-clim20-idaho"),
    Published("Ashton", 44.0425, -111.2739, 1588.6, "1951-1980", 0.0, True,
              ("07-07", "06-15", None), ("08-19", "09-04", None), "ncdc-clim20-idaho"),
    Published("Burley", 42.5417, -113.7661, 1262.5, "1951-1980", 0.0, True,
              ("06-05", "05-16", None), ("09-09", "09-21", None), "ncdc-clim20-idaho"),
    Published("Driggs", 43.7306, -111.1125, 1865.4, "1951-1980", 0.0, True,
              ("07-07", "06-18", None), ("08-18", "09-03", None), "ncdc-clim20-idaho"),
    Published("Oakley", 42.2342, -113.8981, 1389.6, "1951-1980", 0.0, True,
              ("06-13", "05-25", None), ("09-13", "09-28", None), "ncdc-clim20-idaho"),
    Published("Idaho Falls", 43.5164, -112.0672, 1441.4, "1951-1980", 0.0, True,
              ("06-14", "05-25", None), ("09-04", "09-17", None), "ncdc-clim20-idaho"),
    Published("Banner Elk", 36.1617, -81.8742, 1149.1, "", 0.0, True,
              (None, "05-13", None), (None, "10-02", None), "ncsu-frost"),
    Published("Bent Creek", 35.5044, -82.5967, 643.1, "", 0.0, True,
              (None, "05-05", None), (None, "10-09", None), "ncsu-frost"),
    Published("Fayetteville", 35.0583, -78.8583, 29.3, "", 0.0, True,
              (None, "04-02", None), (None, "10-31", None), "ncsu-frost"),
    Published("Statesville 2 NNE", 35.81, -80.8808, 289.6, "", 0.0, True,
              (None, "04-23", None), (None, None, None), "ncsu-frost"),
    Published("Morehead City 2 WNW", 34.7336, -76.7358, 3.0, "", 0.0, True,
              (None, "03-20", None), (None, "11-19", None), "ncsu-frost"),
    Published("Hendersonville 1 NE", 35.3297, -82.4492, 658.4, "", 0.0, True,
              (None, "04-26", None), (None, None, None), "ncsu-frost"),
    Published("Wausau", 44.93, -89.63, 365.0, "1971-2000", 0.0, True,
              (None, None, None), ("09-21", "10-02", "10-13"), "ncdc-freeze-wi"),
    Published("Witney area, Oxfordshire", 51.79, -1.49, None, "2005-2009", 0.0, False,
              (None, "04-22", None), (None, "10-26", None), "windrush-frost"),
    Published("Warlingham, Surrey", 51.31, -0.06, 169.0, "1983-2004", 0.0, False,
              (None, None, None), (None, "10-26", None), "hughes-warlingham"),
]
